#include "solver/structure/joint/strip_law.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double floor_ratio = 0.02; ///< least flexibility of a strip in any direction relative to the bare board

/// One leg's strip: from `b` beyond the junction line back to the line; `extra` of it lies outside the block.
struct Strip
{
    bool is_row;
    double b, extra;
    Matrix3d F_bare; ///< (N, Q, M) flexibility per width
    double A_s;      ///< in-plane shear stiffness [N/m]
};

std::vector<Strip> strips_of(const JointPiece& piece)
{
    std::vector<Strip> strips;
    for (Leg leg : legs_of(piece)) {
        const bool is_row = leg == Leg::left || leg == Leg::right;
        const double t = is_row ? piece.t_row : piece.t_column;
        const SliceMaterial& m = is_row ? piece.row : piece.column;
        const double extra = strip_extension * t, b = (is_row ? piece.t_column : piece.t_row) / 2 + extra;
        const Eigen::Vector3d F(1 / (m.E_n * t), 1 / (5.0 / 6 * m.G_n3 * t), 12 / (m.E_n * t * t * t));
        strips.push_back({is_row, b, extra, F.asDiagonal(), m.G_ns * t});
    }
    return strips;
}

/// Energy of a piece of beam of length `length` with section flexibility F, as a form in the forces (N, Q, M) at its
/// outer end: at distance y inwards the moment is M − Q y.
Matrix3d beam_energy(const Matrix3d& F, double length)
{
    const auto carried = [](double y) {
        Matrix3d T = Matrix3d::Identity();
        T(2, 1) = -y;
        return T;
    };
    Matrix3d energy = Matrix3d::Zero(); // quadratic in y: two Gauss points are exact
    for (double x : {0.5 - 0.5 / std::sqrt(3.0), 0.5 + 0.5 / std::sqrt(3.0)}) {
        const Matrix3d T = carried(x * length);
        energy += 0.5 * length * T.transpose() * F * T;
    }
    return energy;
}

/// The block's compliance for forces at the strips' outer ends: the wood outside the block added, loads carried to the
/// face.
struct EndCompliance
{
    MatrixXd loads; ///< at the strips' outer ends
    MatrixXd C;
};

EndCompliance at_strip_ends(const BlockCompliance& block, const std::vector<Strip>& strips)
{
    EndCompliance end{block.loads, block.C};
    for (std::size_t k = 0; k < strips.size(); ++k) {
        const auto c = static_cast<Index>(3 * k);
        end.loads.row(c + 2) += strips[k].extra * block.loads.row(c + 1);
        const MatrixXd outer = end.loads.middleRows<3>(c);
        end.C += outer.transpose() * beam_energy(strips[k].F_bare, strips[k].extra) * outer;
    }
    return end;
}

/// Symmetric basis matrices of a 3×3 flexibility, scaled by the bare one.
Matrix3d basis_matrix(const Matrix3d& F_bare, int i, int j)
{
    Matrix3d E = Matrix3d::Zero();
    E(i, j) = E(j, i) = std::sqrt(F_bare(i, i) * F_bare(j, j));
    return E;
}

constexpr std::array<std::pair<int, int>, 6> entries = {{{0, 0}, {1, 1}, {2, 2}, {0, 1}, {0, 2}, {1, 2}}};

/// Coordinates making the bare strips' energy the identity.
class Relative
{
public:
    explicit Relative(const MatrixXd& bare) : llt_(bare)
    {
        if (llt_.info() != Eigen::Success) throw SolverError("joint strips: bare energy is not definite");
    }
    [[nodiscard]] MatrixXd operator()(const MatrixXd& X) const
    {
        const MatrixXd half = llt_.matrixL().solve(X);
        return llt_.matrixL().solve(half.transpose());
    }

private:
    Eigen::LLT<MatrixXd> llt_;
};

Matrix3d keep_definite(const Matrix3d& scaled)
{
    const Eigen::SelfAdjointEigenSolver<Matrix3d> eigen(scaled);
    return eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(floor_ratio).asDiagonal() *
           eigen.eigenvectors().transpose();
}

void fit_plane(const JointPiece& piece, const BlockCompliance& block, JointLaw& law)
{
    const auto strips = strips_of(piece);
    const EndCompliance end = at_strip_ends(block, strips);
    const auto energy_of = [&](bool is_row, const auto& F_of) {
        MatrixXd C = MatrixXd::Zero(end.C.rows(), end.C.cols());
        for (std::size_t k = 0; k < strips.size(); ++k)
            if (strips[k].is_row == is_row) {
                const MatrixXd outer = end.loads.middleRows<3>(static_cast<Index>(3 * k));
                C += outer.transpose() * beam_energy(F_of(strips[k]), strips[k].b) * outer;
            }
        return C;
    };
    const auto bare_of = [](const Strip& s) { return s.F_bare; };
    const Relative relative(energy_of(true, bare_of) + energy_of(false, bare_of));

    // Unknowns: six entries for the row's strips, six for the column's, relative to the bare ones. A slight pull to a
    // plain half of the bare flexibility settles what the loads leave open.
    constexpr double pull = 0.02;
    const Index n_data = end.C.size();
    MatrixXd A = MatrixXd::Zero(n_data + 12, 12);
    VectorXd y = VectorXd::Zero(n_data + 12);
    for (int side = 0; side < 2; ++side)
        for (int k = 0; k < 6; ++k) {
            const auto [i, j] = entries[static_cast<std::size_t>(k)];
            const MatrixXd C =
                energy_of(side == 0, [&, i = i, j = j](const Strip& s) { return basis_matrix(s.F_bare, i, j); });
            A.col(6 * side + k).head(n_data) = relative(C).reshaped();
            A(n_data + 6 * side + k, 6 * side + k) = pull;
            y[n_data + 6 * side + k] = pull * (i == j ? 0.5 : 0.0);
        }
    y.head(n_data) = relative(end.C).reshaped();
    const VectorXd g = A.colPivHouseholderQr().solve(y);

    MatrixXd fitted = MatrixXd::Zero(end.C.rows(), end.C.cols());
    for (int side = 0; side < 2; ++side) {
        Matrix3d scaled = Matrix3d::Zero();
        for (int k = 0; k < 6; ++k) {
            const auto [i, j] = entries[static_cast<std::size_t>(k)];
            scaled(i, j) = scaled(j, i) = g[6 * side + k];
        }
        scaled = keep_definite(scaled);
        const auto F_of = [&](const Strip& s) {
            const Eigen::Vector3d root = s.F_bare.diagonal().cwiseSqrt();
            return Matrix3d(root.asDiagonal() * scaled * root.asDiagonal());
        };
        fitted += energy_of(side == 0, F_of);
        (side == 0 ? law.row : law.column).F = scaled;
    }
    law.misfit = relative(fitted - end.C).norm() / std::sqrt(static_cast<double>(end.C.rows()));
}

/// Shear along the edge: one flexibility for the row's strips, one for the column's.
void fit_shear(const JointPiece& piece, const BlockCompliance& block, JointLaw& law)
{
    const auto strips = strips_of(piece);
    const auto n = static_cast<Index>(strips.size());
    VectorXd outside(n), row = VectorXd::Zero(n), column = VectorXd::Zero(n);
    for (Index k = 0; k < n; ++k) {
        const Strip& s = strips[static_cast<std::size_t>(k)];
        outside[k] = s.extra / s.A_s;
        (s.is_row ? row : column)[k] = s.b / s.A_s;
    }
    const auto energy = [&](const VectorXd& e) {
        return MatrixXd(block.shear_loads.transpose() * e.asDiagonal() * block.shear_loads);
    };
    const Relative relative(energy(row + column));
    const MatrixXd target = block.C_shear + energy(outside);
    constexpr double pull = 0.02;
    MatrixXd A(target.size() + 1, 2);
    VectorXd y = VectorXd::Zero(target.size() + 1);
    A.col(0).head(target.size()) = relative(energy(row)).reshaped();
    A.col(1).head(target.size()) = relative(energy(column)).reshaped();
    A.bottomRows<1>() << pull, -pull;
    y.head(target.size()) = relative(target).reshaped();
    const VectorXd g = A.colPivHouseholderQr().solve(y).cwiseMax(floor_ratio);
    law.row.in_plane_shear = 1 / g[0];
    law.column.in_plane_shear = 1 / g[1];
}

} // namespace

JointLaw strip_law(const JointPiece& piece)
{
    const BlockCompliance block = block_compliance(piece);
    JointLaw law;
    fit_plane(piece, block, law);
    fit_shear(piece, block, law);

    law.torsion = block.torsion;
    for (const Strip& s : strips_of(piece)) {
        const double t = s.is_row ? piece.t_row : piece.t_column;
        law.torsion -= (s.b - s.extra) * s.A_s * t * t / 3;
    }
    law.torsion = std::max(law.torsion, 0.0);

    // Where the wood of the overlap is counted elsewhere: a leg that ends on a passing board lies partly inside that
    // board, and a corner's block is a bar of its own on the junction line.
    const bool row_passes = piece.has_left && piece.has_right, column_passes = piece.has_up && piece.has_down;
    for (const Strip& s : strips_of(piece)) {
        StripLaw& own = s.is_row ? law.row : law.column;
        const bool keeps_wood = s.is_row ? row_passes : column_passes && !row_passes;
        own.along = own.mass = keeps_wood ? 1 : s.extra / s.b;
    }
    return law;
}

SliceMaterial slice_material(const Layup& layup, const std::vector<Material>& materials, double grain, double direction)
{
    const Section s = make_section(layup, materials, grain - direction); // axis 1 is n, axis 2 is s
    const double t = s.thickness;
    double E3_compliance = 0, nu_n3 = 0, nu_s3 = 0, G_s3 = 0;
    for (const Ply& ply : layup.plies) {
        const Material& m = materials.at(static_cast<std::size_t>(ply.material));
        const double c = std::cos(grain - direction + ply.angle), share = ply.thickness / t;
        E3_compliance += share / m.E3.value;
        nu_n3 += share * (c * c * m.nu13.value + (1 - c * c) * m.nu23.value);
        nu_s3 += share * (c * c * m.nu23.value + (1 - c * c) * m.nu13.value);
        G_s3 += share * ((1 - c * c) * m.G13.value + c * c * m.G23.value);
    }
    // Bending stiffness without the coupling to the membrane, as uniaxial constants.
    const Eigen::Matrix3d A = s.C.topLeftCorner<3, 3>(), Bc = s.C.block<3, 3>(0, 3);
    const Eigen::Matrix3d D = s.C.block<3, 3>(3, 3) - Bc.transpose() * A.inverse() * Bc;
    const double t3 = t * t * t / 12;
    const double Q_nn = D(0, 0) / t3, Q_ss = D(1, 1) / t3, nu_sn = D(0, 1) / D(0, 0), nu_ns = D(0, 1) / D(1, 1);
    const double E_n = Q_nn * (1 - nu_sn * nu_ns), E_s = Q_ss * (1 - nu_sn * nu_ns);
    // Plane strain along s: S_ij − S_is S_js / S_ss.
    const double S_n3 = -nu_n3 / E_n, S_s3 = -nu_s3 / E_s, S_ns = -nu_ns / E_n, S_ss = 1 / E_s;
    const double a_33 = E3_compliance - S_s3 * S_s3 / S_ss, a_n3 = S_n3 - S_ns * S_s3 / S_ss;
    SliceMaterial m;
    m.E_n = Q_nn;
    m.E_3 = 1 / a_33;
    m.nu_n3 = -a_n3 * Q_nn;
    m.G_n3 = s.C(6, 6) * 1.2 / t;
    m.G_s3 = G_s3;
    m.G_ns = s.C(2, 2) / t;
    return m;
}

Section with_strip(const Section& section, const StripLaw& law, double direction, double side)
{
    const double c = std::cos(direction), s = std::sin(direction);
    Matrix3d R; // board strains → strip strains (n, s), engineering shear
    R << c * c, s * s, c * s, s * s, c * c, -c * s, -2 * c * s, 2 * c * s, c * c - s * s;
    Matrix8d T = Matrix8d::Zero();
    T.block<3, 3>(0, 0) = T.block<3, 3>(3, 3) = R;
    T.block<2, 2>(6, 6) << c, s, -s, c;
    const Matrix8d T_inverse = T.inverse();

    // Membrane and moment of the other face's side: N couples to Q and M with the sign of z.
    Matrix3d F = law.F;
    F(0, 1) *= side;
    F(1, 0) *= side;
    F(0, 2) *= side;
    F(2, 0) *= side;

    // Congruence that takes the strip's (ε_nn, γ_n, κ_nn) block C = L Lᵀ to L F⁻¹ Lᵀ and scales the rest.
    const std::array<int, 3> across = {0, 6, 3};
    const Matrix8d C = T_inverse.transpose() * section.C * T_inverse;
    Matrix3d C_across;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            C_across(i, j) = C(across[static_cast<std::size_t>(i)], across[static_cast<std::size_t>(j)]);
    const Matrix3d L = C_across.llt().matrixL(), stiffer = Matrix3d(F.inverse()).llt().matrixL();
    const Matrix3d P = L.transpose().inverse() * stiffer.transpose() * L.transpose();
    Matrix8d scale = Matrix8d::Zero();
    scale.diagonal() << 0, std::sqrt(law.along), std::sqrt(law.in_plane_shear), 0, std::sqrt(law.along), 1, 0, 1;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            scale(across[static_cast<std::size_t>(i)], across[static_cast<std::size_t>(j)]) = P(i, j);
    const Matrix8d map = T_inverse * scale * T;
    Section result = section;
    result.C = map.transpose() * section.C * map;
    result.C_loss = map.transpose() * section.C_loss * map;
    result.mass *= law.mass;
    result.mass_moment *= law.mass;
    result.mass_inertia *= law.mass;
    return result;
}

} // namespace stillwall::solver
