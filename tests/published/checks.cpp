#include "tests/published/checks.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace stillwall::published {

double worst_error(const Check& check)
{
    double worst = 0;
    for (std::size_t i = 0; i < check.reference.size(); ++i) {
        // A reference of zero asks for an absolute comparison; none of the cases has one.
        const double error = check.ours.at(i) / check.reference[i] - 1;
        if (!(std::abs(error) <= std::abs(worst))) worst = error;
    }
    return check.reference.empty() ? std::numeric_limits<double>::quiet_NaN() : worst;
}

double element_side(const solver::Section& section, double f_top, double points_per_wave)
{
    const double omega = 2 * std::numbers::pi * f_top, load = section.mass * omega * omega;
    double k2 = 0; // D k⁴ = m ω² (1 + D k² / As), the softest direction counts
    for (int degrees = 0; degrees < 180; degrees += 5) {
        const double angle = degrees * std::numbers::pi / 180, c = std::cos(angle), s = std::sin(angle);
        const Eigen::Vector3d bend(c * c, s * s, 2 * c * s);
        const Eigen::Vector2d slide(c, s);
        const double over_D = load / bend.dot(section.C.block<3, 3>(3, 3) * bend);
        const double over_As = load / slide.dot(section.C.block<2, 2>(6, 6) * slide);
        k2 = std::max(k2, (over_As + std::sqrt(over_As * over_As + 4 * over_D)) / 2);
    }
    return 2 * (2 * std::numbers::pi / std::sqrt(k2)) / points_per_wave;
}

namespace {

Quantity exactly(double value)
{
    Quantity q;
    q.value = q.low = q.high = value;
    return q;
}

} // namespace

Material orthotropic(const PlyConstants& c)
{
    Material m;
    m.name = "test";
    m.E1 = exactly(c.E1);
    m.E2 = m.E3 = exactly(c.E2);
    m.nu12 = m.nu13 = m.nu23 = exactly(c.nu12);
    m.G12 = exactly(c.G12);
    m.G13 = exactly(c.G13);
    m.G23 = exactly(c.G23);
    m.rho = exactly(c.rho);
    m.eta = m.eta2 = exactly(0);
    return m;
}

Material isotropic(double E, double nu, double rho)
{
    const double G = E / (2 * (1 + nu));
    return orthotropic({E, E, nu, G, G, G, rho});
}

solver::Section plain_section(const Material& material, double thickness)
{
    return solver::make_section({{{0, thickness, 0}}, ""}, {material}, 0);
}

solver::Section ply_section(const Material& material, const std::vector<double>& angles_deg, double thickness)
{
    Layup layup;
    for (double angle : angles_deg)
        layup.plies.push_back({0, thickness / double(angles_deg.size()), angle * std::numbers::pi / 180});
    return solver::make_section(layup, {material}, 0);
}

solver::Section with_shear_factor(solver::Section section, double k, double G13_t, double G23_t)
{
    section.C(6, 6) = k * G13_t;
    section.C(7, 7) = k * G23_t;
    section.C(6, 7) = section.C(7, 6) = 0;
    return section;
}

} // namespace stillwall::published
