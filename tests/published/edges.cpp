// Rectangular plates under every set of clamped, simply supported and free edges.

#include "tests/published/checks.h"
#include "tests/published/edge_table.h"
#include "tests/published/shell_grid.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

/// Rigid modes of a plate's bending left by the edges.
int rigid_modes(const std::string& edges)
{
    if (edges == "FFFF") return 3;
    return edges == "SFFF" ? 1 : 0;
}

void add_plate(Check& check, const EdgeCase& edge_case, std::size_t ratio)
{
    // t/a = 1/1000: the shear deflection and the edge zone of a free edge (of width t) take away less than 0.03 %.
    const double a = 1, b = a / edge_case_ratios[ratio], t = 1e-3 * std::min(a, b);
    const Section section = plain_section(isotropic(200e9, 0.3, 8000), t);
    const double to_Hz = std::sqrt(section.C(3, 3) / section.mass) / (2 * std::numbers::pi * a * a);
    const auto& lambda = edge_case.lambda[ratio];
    const double f_top = lambda.back() * to_Hz;
    const ShellGrid grid = rectangle(nine_nodes(), section, a, b, element_side(section, f_top));
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges(edge_case.edges, a, b);
    for (double f : frequencies(grid.model(), holds, rigid_modes(edge_case.edges), 6, f_top))
        check.ours.push_back(f / to_Hz);
    check.reference.insert(check.reference.end(), lambda.begin(), lambda.end());
}

} // namespace

std::vector<Check> edge_checks()
{
    std::vector<Check> checks;
    for (const EdgeCase& edge_case : edge_cases) {
        Check check;
        check.id = std::string("edges ") + edge_case.edges;
        check.problem = "rectangle with edges " + std::string(edge_case.edges) +
                        ", a/b = 0.4, 2/3, 1, 1.5, 2.5, six modes each: ω a² √(ρh/D)";
        check.source = "cases of Leissa, J. Sound Vib. 31 (1973) 257";
        check.confirmed =
            recomputed_high_order + "; the print (CCCC, CFFF, FFFF read, the rest from memory) is 0 to 0.9 % higher";
        check.mesh = "Quad9, mesh rule for the sixth mode";
        for (std::size_t ratio = 0; ratio < edge_case_ratios.size(); ++ratio) add_plate(check, edge_case, ratio);
        check.tolerance = 0.005;
        check.why = "target for thin plates";
        checks.push_back(std::move(check));
    }
    return checks;
}

} // namespace stillwall::published
