// Thin plates with a closed-form or series solution: discs, point supports, a point mass, static deflections.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double side = 1; // [m] of the squares, radius of the disc

// t/a = 1/1000, see edges.cpp.
const Section section = plain_section(isotropic(200e9, 0.3, 8000), 1e-3);
// Round plates thicker, t/a = 1/200: their elements are no parallelograms, and nine-node elements of other shapes grow
// stiff when their side is more than some 20 thicknesses (tests/solver/shell_test.cpp measures it).
const Section disc_section = plain_section(isotropic(200e9, 0.3, 8000), 5e-3);

std::vector<double> lambdas(const ShellModel& model, const Holds& holds, int n_rigid, int n, double top,
                            const std::vector<PointMass>& masses = {})
{
    const Section& s = model.sections.front();
    const double to_Hz = std::sqrt(s.C(3, 3) / s.mass) / (2 * pi * side * side);
    std::vector<double> lambda = frequencies(model, holds, n_rigid, n, top * to_Hz, masses);
    for (double& value : lambda) value /= to_Hz;
    return lambda;
}

/// Unit disc: a square core and four blocks between it and the rim, whose outer sides follow the circle.
ShellGrid disc(int n_core, int n_ring)
{
    ShellGrid grid(nine_nodes(), disc_section);
    const double core = 0.5; // half diagonal of the core
    const auto corner = [](int k) { return Vector3d(std::cos(k * pi / 2 + pi / 4), std::sin(k * pi / 2 + pi / 4), 0); };
    grid.add_block(n_core, n_core, [&](double r, double s) {
        return Vector3d(core * std::sqrt(0.5) * (2 * r - 1), core * std::sqrt(0.5) * (2 * s - 1), 0);
    });
    for (int k = 0; k < 4; ++k)
        grid.add_block(n_core, n_ring, [&](double r, double s) {
            const Vector3d inner = core * (corner(k + 1) * (1 - r) + corner(k) * r);
            const double angle = k * pi / 2 + pi / 4 + (1 - r) * pi / 2;
            const Vector3d outer(std::cos(angle), std::sin(angle), 0);
            return Vector3d(inner + s * (outer - inner));
        });
    return grid;
}

Check disc_check(const std::string& id, bool is_clamped, std::vector<double> reference)
{
    const ShellGrid grid = disc(8, 8);
    Holds holds(grid.model());
    holds.in_plane();
    if (is_clamped)
        holds.at(nodes_where(grid.model(), [](const Vector3d& x) { return x.norm() > 1 - 1e-9; }), {uz, rx, ry});
    Check check;
    check.id = id;
    check.problem = std::string(is_clamped ? "clamped" : "free") + " circular plate, t/a = 0.005: ω a² √(ρh/D)";
    check.source = "Leissa, Vibration of Plates, NASA SP-160 (1969), ch. 2";
    check.confirmed = recomputed + " (roots of the Bessel equations)";
    check.mesh = fmt::format("{} Quad9, curved at the rim", grid.model().elements.size());
    check.ours = lambdas(grid.model(), holds, is_clamped ? 0 : 3, static_cast<int>(reference.size()), reference.back());
    check.reference = std::move(reference);
    check.tolerance = 0.005;
    check.why = "target for thin plates; shear takes 0.05 % off";
    return check;
}

ShellGrid square(int n)
{
    return rectangle(nine_nodes(), section, side, side, side / n);
}

Check corner_supports()
{
    const ShellGrid grid = square(10);
    Holds holds(grid.model());
    holds.in_plane();
    holds.at(nodes_where(grid.model(),
                         [](const Vector3d& x) {
                             return std::min(x.x(), side - x.x()) < 1e-9 && std::min(x.y(), side - x.y()) < 1e-9;
                         }),
             {uz});
    Check check;
    check.id = "corner supports";
    check.problem = "square plate on its four corners: ω a² √(ρh/D)";
    check.source = "NASA SP-160, ch. 4";
    check.confirmed = recomputed_high_order + "; 7.12 for the first is the classical value (from memory)";
    check.mesh = "10 × 10 Quad9";
    check.reference = {7.11088, 15.77024, 15.77024, 19.59614, 38.43154, 44.36961};
    check.ours = lambdas(grid.model(), holds, 0, 6, check.reference.back());
    check.tolerance = 0.005;
    check.why = "target for thin plates";
    return check;
}

Check central_support()
{
    const ShellGrid grid = square(10);
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges("SSSS", side, side);
    holds.at({node_near(grid.model(), {0.5, 0.5, 0})}, {uz});
    Check check;
    check.id = "central support";
    check.problem = "simply supported square plate held at its centre: ω a² √(ρh/D)";
    check.source = "series Σ 1/(g² − λ²) = 0, g = π²(m² + n²), m and n odd";
    check.confirmed = recomputed;
    check.mesh = "10 × 10 Quad9";
    check.reference = {49.348022, 49.348022, 52.6185085};
    check.ours = lambdas(grid.model(), holds, 0, 3, check.reference.back());
    check.tolerance = 0.005;
    check.why = "target for thin plates; a point support bends the plate sharply";
    return check;
}

Check central_mass(double ratio, double first, double second)
{
    const ShellGrid grid = square(10);
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges("SSSS", side, side);
    const PointMass mass{node_near(grid.model(), {0.5, 0.5, 0}), ratio * section.mass * side * side};
    Check check;
    check.id = fmt::format("central mass {:g}", ratio);
    check.problem = fmt::format(
        "simply supported square plate with a mass of {:g} times its own at the centre, first and second mode "
        "symmetric both ways: ω a² √(ρh/D)",
        ratio);
    check.source = "series 1/μ = 4 λ² Σ 1/(g² − λ²), m and n odd; NASA SP-160, ch. 4";
    check.confirmed = recomputed;
    check.mesh = "10 × 10 Quad9";
    check.reference = {first, second};
    // Modes between: the pair of (1, 2) at 49.35, which the mass does not move. Above a ratio of 0.1 the second one
    // symmetric both ways is the fourth mode.
    const auto lambda = lambdas(grid.model(), holds, 0, 4, 77, {mass});
    check.ours = {lambda[0], lambda[3]};
    check.tolerance = 0.005;
    check.why = "target for thin plates";
    return check;
}

Check deflection(const std::string& id, const std::string& edges, bool is_point_load, double reference)
{
    const ShellGrid grid = square(10);
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges(edges, side, side);
    const int centre = node_near(grid.model(), {0.5, 0.5, 0});
    Eigen::VectorXd f = area_load(grid.model(), {0, 0, 1});
    if (is_point_load) {
        f.setZero();
        f[6 * centre + uz] = 1;
    }
    Check check;
    check.id = id;
    check.problem = "square plate, edges " + edges +
                    (is_point_load ? ", central force: w D/(P a²) there" : ", uniform load: w D/(q a⁴) at the centre");
    check.source = "Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, tables 8, 23, 35";
    check.confirmed = recomputed + " by series; the shorter printed digits from memory";
    check.mesh = "10 × 10 Quad9";
    check.reference = {reference};
    check.ours = {solve_static(grid.model(), holds, f)[6 * centre + uz] * section.C(3, 3)};
    check.tolerance = 0.005;
    check.why = "target for thin plates";
    return check;
}

} // namespace

std::vector<Check> thin_plate_checks()
{
    return {
        // Reference: roots λ² for (n, s) = (0,0) (1,0)×2 (2,0)×2 (0,1); free plate with ν = 0.3.
        disc_check("disc, clamped", true, {10.21583, 21.2604, 21.2604, 34.87704, 34.87704, 39.77115}),
        disc_check("disc, free", false, {5.35833, 5.35833, 9.00314, 12.43899, 12.43899, 20.47455, 20.47455}),
        corner_supports(),
        central_support(),
        // Reference: the characteristic equation with 4001 terms.
        central_mass(0.1, 16.590713, 75.28089),
        central_mass(0.25, 13.726223, 64.9347),
        central_mass(0.5, 11.069581, 59.54562),
        central_mass(1.0, 8.473749, 56.29753),
        deflection("pressure, SSSS", "SSSS", false, 0.00406235266067),
        deflection("pressure, CCCC", "CCCC", false, 0.00126531909),
        deflection("force, SSSS", "SSSS", true, 0.0116008),
    };
}

} // namespace stillwall::published
