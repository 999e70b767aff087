#include "solver/structure/section/section.h"

#include "mesh/core/line3.h"

#include <Eigen/Cholesky>

#include <array>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Matrix2d;
using Eigen::Matrix3d;

/// One ply in the lay-up's axes.
struct PlyStiffness
{
    Matrix3d Q;      ///< plane-stress stiffness [Pa]
    Matrix3d Q_loss; ///< the same with each modulus times its loss factor
    Matrix2d G;      ///< transverse shear moduli [Pa]
    double eta_shear = 0;
    double z0 = 0, z1 = 0; ///< [m]
    double rho = 0;
};

/// Plane strains, engineering shear, seen from axes turned by an angle: turned = T · given.
Matrix3d plane_turn(double angle)
{
    const double c = std::cos(angle), s = std::sin(angle);
    Matrix3d T;
    T << c * c, s * s, c * s, s * s, c * c, -c * s, -2 * c * s, 2 * c * s, c * c - s * s;
    return T;
}

/// Turns a stress-like 3×3 plane stiffness from ply axes into lay-up axes (Jones eq. 2.80 in stiffness form).
Matrix3d rotate_plane(const Matrix3d& Q, double angle)
{
    const Matrix3d T = plane_turn(angle);
    return T.transpose() * Q * T;
}

/// Turns a whole section stiffness from lay-up axes into board axes.
Matrix8d rotate_section(const Matrix8d& C, double grain)
{
    const double c = std::cos(grain), s = std::sin(grain);
    Matrix8d T = Matrix8d::Zero();
    T.block<3, 3>(0, 0) = T.block<3, 3>(3, 3) = plane_turn(grain);
    T.block<2, 2>(6, 6) << c, s, -s, c;
    return T.transpose() * C * T;
}

PlyStiffness ply_stiffness(const Ply& ply, const Material& m, double angle, double z0)
{
    const double E1 = m.E1.value, E2 = m.E2.value, nu12 = m.nu12.value, G12 = m.G12.value;
    const double nu21 = nu12 * E2 / E1, d = 1 - nu12 * nu21;
    const bool is_definite = E1 > 0 && E2 > 0 && G12 > 0 && m.G13.value > 0 && m.G23.value > 0 && d > 0;
    if (!is_definite)
        throw DomainError("material " + m.name + ": elastic constants are not positive definite in the plane");
    if (!(ply.thickness > 0)) throw DomainError("material " + m.name + ": ply thickness must be > 0 m");

    Matrix3d Q;
    Q << E1 / d, nu12 * E2 / d, 0, nu12 * E2 / d, E2 / d, 0, 0, 0, G12;
    const double eta1 = m.eta.value, eta2 = m.eta2.value, eta12 = std::sqrt(eta1 * eta2);
    Matrix3d Q_loss;
    Q_loss << eta1 * Q(0, 0), eta12 * Q(0, 1), 0, eta12 * Q(1, 0), eta2 * Q(1, 1), 0, 0, 0, eta12 * Q(2, 2);

    const double c = std::cos(angle), s = std::sin(angle), G13 = m.G13.value, G23 = m.G23.value;
    PlyStiffness p;
    p.Q = rotate_plane(Q, angle);
    p.Q_loss = rotate_plane(Q_loss, angle);
    p.G << c * c * G13 + s * s * G23, c * s * (G13 - G23), c * s * (G13 - G23), s * s * G13 + c * c * G23;
    p.eta_shear = eta12;
    p.z0 = z0;
    p.z1 = z0 + ply.thickness;
    p.rho = m.rho.value;
    return p;
}

/// Transverse shear stiffness in one direction by energy equivalence in cylindrical bending, with its loss.
///     τ(z) = Q/D_n ∫_z^top E (ζ − z_n) dζ,   1/As = ∫ τ²/(Q² G) dz
struct ShearStiffness
{
    double As = 0, As_loss = 0; ///< [N/m]
};

ShearStiffness shear_stiffness(const std::vector<PlyStiffness>& plies, int axis)
{
    double e0 = 0, e1 = 0, e2 = 0; // moments of the modulus over z
    for (const auto& p : plies) {
        const double E = p.Q(axis, axis);
        e0 += E * (p.z1 - p.z0);
        e1 += E * (p.z1 * p.z1 - p.z0 * p.z0) / 2;
        e2 += E * (std::pow(p.z1, 3) - std::pow(p.z0, 3)) / 3;
    }
    const double zn = e1 / e0, Dn = e2 - e1 * e1 / e0;

    double compliance = 0, lossy = 0, below = 0; // below = ∫_bottom^z E (ζ − zn) dζ; τ is its negative over Dn
    for (const auto& p : plies) {
        const double E = p.Q(axis, axis), half = (p.z1 - p.z0) / 2, mid = (p.z1 + p.z0) / 2;
        const auto moment = [&](double z) { return E * ((z - zn) * (z - zn) - (p.z0 - zn) * (p.z0 - zn)) / 2; };
        for (std::size_t i = 0; i < gauss_x.size(); ++i) {
            const double tau = (below + moment(mid + half * gauss_x[i])) / Dn; // quartic after squaring: exact
            const double energy = gauss_w[i] * half * tau * tau / p.G(axis, axis);
            compliance += energy;
            lossy += p.eta_shear * energy;
        }
        below += moment(p.z1);
    }
    const double As = 1 / compliance;
    return {As, As * As * lossy};
}

} // namespace

Section make_section(const Layup& layup, const std::vector<Material>& materials, double grain)
{
    return make_section(layup.plies, materials, grain, -layup.thickness() / 2);
}

Section make_section(std::span<const Ply> layers, const std::vector<Material>& materials, double grain, double z_bottom)
{
    if (layers.empty()) throw DomainError("lay-up without a ply");
    std::vector<PlyStiffness> plies;
    double z = z_bottom;
    for (const Ply& ply : layers) {
        plies.push_back(ply_stiffness(ply, materials.at(static_cast<std::size_t>(ply.material)), ply.angle, z));
        z = plies.back().z1;
    }

    Section section;
    section.thickness = z - z_bottom;
    Matrix2d G_sum = Matrix2d::Zero();
    const auto add = [](Matrix8d& C, const Matrix3d& Q, double h0, double h1, double h2) {
        C.block<3, 3>(0, 0) += h0 * Q;
        C.block<3, 3>(0, 3) += h1 * Q;
        C.block<3, 3>(3, 0) += h1 * Q;
        C.block<3, 3>(3, 3) += h2 * Q;
    };
    for (const auto& p : plies) {
        const double h0 = p.z1 - p.z0;
        const double h1 = (p.z1 * p.z1 - p.z0 * p.z0) / 2;
        const double h2 = (std::pow(p.z1, 3) - std::pow(p.z0, 3)) / 3;
        add(section.C, p.Q, h0, h1, h2);
        add(section.C_loss, p.Q_loss, h0, h1, h2);
        G_sum += h0 * p.G;
        section.mass += p.rho * h0;
        section.mass_moment += p.rho * h1;
        section.mass_inertia += p.rho * h2;
    }
    const ShearStiffness s1 = shear_stiffness(plies, 0), s2 = shear_stiffness(plies, 1);
    // The coupling term of off-axis plies is corrected by the geometric mean of the two directions' factors.
    const double k12 = std::sqrt(s1.As / G_sum(0, 0) * s2.As / G_sum(1, 1));
    section.C(6, 6) = s1.As;
    section.C(7, 7) = s2.As;
    section.C(6, 7) = section.C(7, 6) = k12 * G_sum(0, 1);
    section.C_loss(6, 6) = s1.As_loss;
    section.C_loss(7, 7) = s2.As_loss;
    section.C_loss(6, 7) = section.C_loss(7, 6) = section.C(6, 7) * (s1.As_loss + s2.As_loss) / (s1.As + s2.As);
    // The shear stiffness is found in the lay-up's own axes, so that turning a board turns its properties and nothing
    // else.
    section.C = rotate_section(section.C, grain);
    section.C_loss = rotate_section(section.C_loss, grain);
    section.G12_mean = section.C(2, 2) / section.thickness;
    return section;
}

} // namespace stillwall::solver
