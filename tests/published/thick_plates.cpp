// Thick homogeneous square plates by first-order shear theory with the shear factor 5/6, which is what a homogeneous
// section has here.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

constexpr double side = 1; // [m]

const Material steel = isotropic(200e9, 0.3, 8000);

struct Case
{
    std::string edges;
    double thickness; ///< per side
    std::vector<double> reference;
};

Check thick_check(const Case& c, double to_Hz)
{
    const Section section = plain_section(steel, c.thickness);
    const double f_top = c.reference.back() * to_Hz;
    const ShellGrid grid = rectangle(nine_nodes(), section, side, side, element_side(section, f_top));
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges(c.edges, side, side);
    Check check;
    check.id = fmt::format("thick {}, {:g}", c.edges, c.thickness);
    check.mesh = fmt::format("{} Quad9", grid.model().elements.size());
    check.reference = c.reference;
    check.ours =
        frequencies(grid.model(), holds, c.edges == "FFFF" ? 3 : 0, static_cast<int>(c.reference.size()), f_top);
    for (double& value : check.ours) value /= to_Hz;
    check.tolerance = c.thickness >= 0.1 ? 0.01 : 0.005;
    check.why = c.thickness >= 0.1 ? "target for thick plates" : "target for thin plates";
    return check;
}

} // namespace

std::vector<Check> thick_plate_checks()
{
    std::vector<Check> checks;
    const double G = 200e9 / 2.6, by_shear = std::sqrt(G / 8000) / (2 * std::numbers::pi * side);

    // Reference: Navier solution, exact: modes (1,1) (1,2) (2,2) (1,3) (2,3) of ω a √(ρ/G); equal pairs written out.
    for (const Case& c :
         std::vector<Case>{{"SSSS", 0.01, {0.09628, 0.24057, 0.24057, 0.38471, 0.48071, 0.48071, 0.62459}},
                           {"SSSS", 0.05, {0.47727, 1.17766, 1.17766, 1.86055, 2.30667, 2.30667, 2.96293}},
                           {"SSSS", 0.1, {0.93028, 2.21933, 2.21933, 3.40562, 4.14943, 4.14943, 5.20563}},
                           {"SSSS", 0.2, {1.70281, 3.72327, 3.72327, 5.3821, 6.35753, 6.35753, 7.68004}}}) {
        Check check = thick_check(c, by_shear);
        check.problem = fmt::format("simply supported square plate, t/a = {:g}: ω a √(ρ/G)", c.thickness);
        check.source = "Mindlin, Schacknow & Deresiewicz, J. Appl. Mech. 23 (1956) 430";
        check.confirmed = recomputed + " exactly; 0.930 2.219 3.406 4.149 5.206 at t/a = 0.1 published";
        checks.push_back(std::move(check));
    }
    // Reference: Ritz series for ω a √(ρ/G), converged to 1e-5.
    for (const Case& c : std::vector<Case>{{"CCCC", 0.1, {1.58702, 3.02717, 3.02717, 4.24267, 4.99829, 5.04599}},
                                           {"CCCC", 0.2, {2.58849, 4.51799, 4.51799, 6.06655, 6.9124, 7.00797}}}) {
        Check check = thick_check(c, by_shear);
        check.problem = fmt::format("clamped square plate, t/a = {:g}: ω a √(ρ/G)", c.thickness);
        check.source = "problem of Dawe & Roufaeil, J. Sound Vib. 69 (1980) 345";
        check.confirmed = recomputed_high_order + "; their printed digits, with k = 0.8601, only from memory";
        checks.push_back(std::move(check));
    }
    // Reference: Ritz series for ω a² √(ρh/D), converged to 2e-5.
    for (const Case& c : std::vector<Case>{{"FFFF", 0.1, {12.7189, 18.9434, 23.3245, 31.9217, 31.9217, 55.3509}},
                                           {"FFFF", 0.2, {11.7011, 17.4002, 21.1936, 27.5735, 27.5735, 45.1045}},
                                           {"CFFF", 0.1, {3.43068, 8.06039, 20.08902, 25.49921, 28.2445, 47.5306}},
                                           {"CFFF", 0.2, {3.3393, 7.34789, 17.57244, 22.46826, 23.88829, 38.3428}}}) {
        const Section section = plain_section(steel, c.thickness);
        Check check = thick_check(c, std::sqrt(section.C(3, 3) / section.mass) / (2 * std::numbers::pi * side * side));
        check.problem = fmt::format("square plate, edges {}, t/a = {:g}: ω a² √(ρh/D)", c.edges, c.thickness);
        check.source = "series of the thick plate (Mindlin 1951)";
        check.confirmed = recomputed_high_order;
        checks.push_back(std::move(check));
    }
    return checks;
}

} // namespace stillwall::published
