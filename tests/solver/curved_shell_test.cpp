// The curved shell element in vibration: a cylindrical panel on shear diaphragms.
#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <catch2/catch.hpp>

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

using namespace stillwall;
using namespace stillwall::published;
using Catch::Matchers::WithinRel;

namespace {

constexpr double pi = std::numbers::pi;

/// A cylindrical panel: radius R, thickness t, length L along the generators, arc b.
struct Panel
{
    double R, t, L, b, E, nu, rho;
};

/// The lowest frequency [Hz] of the wave m along, n half-waves round, all four edges on shear diaphragms. With
///     u = U cos(αx) sin(βs), v = V sin(αx) cos(βs), w = W sin(αx) sin(βs), α = mπ/L, β = nπ/b
/// the strains of Sanders's thin shell (in-plane inertia in)
///     ε_x = u_x, ε_s = v_s + w/R, γ = u_s + v_x,
///     κ_x = −w_xx, κ_s = v_s/R − w_ss, 2κ_xs = −2 w_xs + 3/2 v_x/R − ½ u_s/R
/// have one amplitude each, and energy and mass are 3 × 3 matrices. Exact for that theory; own derivation.
double diaphragm_frequency(const Panel& p, int m, int n)
{
    const double a = m * pi / p.L, b = n * pi / p.b;
    const double C = p.E * p.t / (1 - p.nu * p.nu), D = C * p.t * p.t / 12, G = (1 - p.nu) / 2;
    const Eigen::RowVector3d ex(-a, 0, 0), es(0, -b, 1 / p.R), g(b, a, 0), kx(0, 0, a * a), ks(0, -b / p.R, b * b),
        kxs(-b / (2 * p.R), 3 * a / (2 * p.R), -2 * a * b);
    Eigen::Matrix3d K = Eigen::Matrix3d::Zero();
    const auto add = [&](double stiffness, const Eigen::RowVector3d& x, const Eigen::RowVector3d& s,
                         const Eigen::RowVector3d& shear) {
        K += stiffness * (x.transpose() * x + s.transpose() * s + p.nu * (x.transpose() * s + s.transpose() * x) +
                          G * shear.transpose() * shear);
    };
    add(C, ex, es, g);
    add(D, kx, ks, kxs);
    return std::sqrt(Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(K).eigenvalues()[0] / (p.rho * p.t)) / (2 * pi);
}

} // namespace

TEST_CASE("cylindrical panel on shear diaphragms", "[solver][shell][curved]")
{
    // A quarter of a cylinder the size of a cabinet's side, thin enough that transverse shear plays no part.
    const double R = 0.18;
    const Panel p{R, 0.003, 0.34, pi / 2 * R, 10e9, 0.3, 700};
    ShellGrid grid(nine_nodes(), plain_section(isotropic(p.E, p.nu, p.rho), p.t));
    grid.add_block(10, 10, [&](double r, double s) {
        return Vector3d(p.L * r, R * std::sin(pi / 2 * s), R * std::cos(pi / 2 * s));
    });
    const ShellModel& model = grid.model();
    const auto on = [&](int axis, double value) {
        return nodes_where(model, [=](const Vector3d& x) { return std::abs(x[axis] - value) < 1e-9; });
    };
    Holds holds(model);
    for (const double end : {0.0, p.L}) holds.at(on(0, end), {uy, uz, rx});
    holds.at(on(1, 0), {ux, uz, ry});
    holds.at(on(2, 0), {ux, uy, rz});

    std::vector<double> reference_Hz;
    for (int m = 1; m <= 4; ++m)
        for (int n = 1; n <= 8; ++n) reference_Hz.push_back(diaphragm_frequency(p, m, n));
    std::sort(reference_Hz.begin(), reference_Hz.end());
    const std::vector<double> f_Hz = frequencies(model, holds, 0, 8, 1.02 * reference_Hz[8]);
    // Reference: diaphragm_frequency. Tolerance: 0.4 %: the mesh has 3 elements to a half-wave of the eighth mode, and
    //   transverse shear and thickness against radius (t/R = 1/60) stand beside the thin theory with about 0.1 %.
    for (std::size_t k = 0; k < 8; ++k) {
        CAPTURE(k, f_Hz[k], reference_Hz[k]);
        CHECK_THAT(f_Hz[k], WithinRel(reference_Hz[k], 4e-3));
    }
    // The curve tells: flat, the panel's first mode would lie far below.
    const double kx = pi / p.L, ks = pi / p.b;
    const double flat_Hz =
        (kx * kx + ks * ks) / (2 * pi) * std::sqrt(p.E * p.t * p.t / (12 * (1 - p.nu * p.nu) * p.rho));
    CHECK(f_Hz[0] > 2 * flat_Hz);
}
