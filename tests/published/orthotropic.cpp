// Thin plates of one orthotropic layer, along the axes and at an angle.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

constexpr double side = 1, thickness = 1e-3; // [m]; t/a = 1/1000, see edges.cpp

Check plate(const std::string& edges, const Section& section, double D, std::vector<double> reference)
{
    const double to_Hz = std::sqrt(D / section.mass) / (2 * std::numbers::pi * side * side);
    const double f_top = reference.back() * to_Hz;
    const ShellGrid grid = rectangle(nine_nodes(), section, side, side, element_side(section, f_top));
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges(edges, side, side);
    Check check;
    check.mesh = fmt::format("{} Quad9", grid.model().elements.size());
    check.ours = frequencies(grid.model(), holds, edges == "FFFF" ? 3 : 0, static_cast<int>(reference.size()), f_top);
    for (double& value : check.ours) value /= to_Hz;
    check.reference = std::move(reference);
    check.tolerance = 0.005;
    check.why = "target for thin plates";
    return check;
}

struct Case
{
    std::string edges;
    double angle; ///< [degrees]
    std::vector<double> reference;
};

} // namespace

std::vector<Check> orthotropic_checks()
{
    std::vector<Check> checks;

    // D11 : D22 : D12 : D66 = 10 : 1 : 0.3 : 0.5. The transverse moduli do not matter at this thickness.
    const double d = 1 - 0.03 * 0.3, unit = 1e9;
    const Material wood = orthotropic({10 * d * unit, d * unit, 0.3, 0.5 * unit, 0.5 * unit, 0.5 * unit, 600});
    const Section along = plain_section(wood, thickness);
    for (const Case& c : std::vector<Case>{{"SSSS", 0, {36.3973, 59.5457, 105.5633, 129.2127, 145.5892}},
                                           {"CCCC", 0, {76.75833, 101.2977, 150.78356, 199.84824, 217.31867}},
                                           {"FFFF", 0, {16.26213, 22.279, 39.97227, 61.35464, 70.65918}},
                                           {"CFFF", 0, {11.10907, 14.95876, 31.63003, 68.12571, 69.61423}}}) {
        Check check = plate(c.edges, along, along.C(4, 4), c.reference);
        check.id = "orthotropic " + c.edges;
        check.problem = "square orthotropic plate, edges " + c.edges +
                        ", D11 : D22 : D12 : D66 = 10 : 1 : 0.3 : 0.5: ω a² √(ρh/D22)";
        check.source = "NASA SP-160, ch. 9 (SSSS: Hearmon's closed form)";
        check.confirmed = c.edges == "SSSS" ? recomputed + " exactly" : recomputed_high_order;
        checks.push_back(std::move(check));
    }

    const Material ply = orthotropic({138e9, 8.96e9, 0.30, 7.1e9, 7.1e9, 7.1e9, 1600});
    const double D0 = plain_section(ply, thickness).C(3, 3);
    for (const Case& c : std::vector<Case>{{"SSSS", 0, {11.2897, 17.1318, 28.6917, 40.7402}},
                                           {"SSSS", 15, {11.2478, 18.1698, 30.4044, 38.8798}},
                                           {"SSSS", 30, {11.211, 20.265, 32.995, 34.828}},
                                           {"SSSS", 45, {11.24, 21.401, 32.544, 33.866}},
                                           {"CCCC", 30, {20.9691, 31.3937, 46.8289, 51.7819}},
                                           {"CCCC", 45, {19.9475, 33.3629, 46.4781, 48.4465}},
                                           {"FFFF", 30, {4.805, 7.0454, 10.9368, 16.7293}},
                                           {"FFFF", 45, {4.7579, 7.6508, 10.7764, 15.7622}}}) {
        Check check = plate(c.edges, ply_section(ply, {c.angle}, thickness), D0, c.reference);
        check.id = fmt::format("off-axis {}, {:g}°", c.edges, c.angle);
        check.problem =
            fmt::format("square plate of one ply at {:g}°, edges {}, E1/E2 = 15.4: ω a² √(ρh/D0), D0 = D11 at 0°",
                        c.angle, c.edges);
        check.source = "materials of Leissa & Narita, Compos. Struct. 12 (1989) 113";
        check.confirmed =
            recomputed +
            (c.edges == "SSSS" && c.angle > 15 ? " (Ritz series, converged to 0.1 %)" : " (Ritz series, converged)") +
            "; printed digits not opened";
        if (c.edges == "SSSS" && c.angle > 15) {
            check.tolerance = 0.01;
            check.why = "moments are singular in two corners (the isotropic equivalent is a sharp rhombus): half the "
                        "error at half the "
                        "cell; the reference itself is good to 0.1 %";
        }
        checks.push_back(std::move(check));
    }
    return checks;
}

} // namespace stillwall::published
