// Square plates with a central free hole, round and square.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double side = 1; // [m]

// t/a = 1/200 rather than 1/1000: see the discs in thin_plates.cpp.
const Section section = plain_section(isotropic(200e9, 0.3, 8000), 5e-3);

double to_Hz()
{
    return std::sqrt(section.C(3, 3) / section.mass) / (2 * pi * side * side);
}

int rounded_up(double cells)
{
    return std::max(2, static_cast<int>(std::ceil(cells - 1e-9)));
}

/// Blocks between the outer square and a round hole, two to each side so that the square's middles are corners.
ShellGrid round_hole(double diameter, double cell)
{
    ShellGrid grid(nine_nodes(), section);
    const int around = rounded_up(side / 2 / cell), across = rounded_up((side - diameter) / 2 / cell);
    const auto on_square = [](double angle) { // centred square of half side ½
        const Vector3d d(std::cos(angle), std::sin(angle), 0);
        return Vector3d(d * (side / 2) / std::max(std::abs(d.x()), std::abs(d.y())));
    };
    for (int k = 0; k < 8; ++k)
        grid.add_block(around, across, [&](double r, double s) {
            const double from = k * pi / 4, to = from + pi / 4, angle = to + r * (from - to);
            const Vector3d inner(std::cos(angle) * diameter / 2, std::sin(angle) * diameter / 2, 0);
            const Vector3d outer = on_square(to) + r * (on_square(from) - on_square(to));
            const Vector3d middle(side / 2, side / 2, 0);
            return Vector3d(middle + inner + s * (outer - inner));
        });
    return grid;
}

/// Eight rectangles around a square hole.
ShellGrid square_hole(double width, double cell)
{
    ShellGrid grid(nine_nodes(), section);
    const double low = (side - width) / 2;
    const double breaks[] = {0, low, side - low, side};
    const int n_low = rounded_up(low / cell), n_mid = rounded_up(width / cell);
    for (int j = 0; j < 3; ++j)
        for (int i = 0; i < 3; ++i) {
            if (i == 1 && j == 1) continue;
            grid.add_block(i == 1 ? n_mid : n_low, j == 1 ? n_mid : n_low, [&](double r, double s) {
                return Vector3d(breaks[i] + r * (breaks[i + 1] - breaks[i]),
                                breaks[j] + s * (breaks[j + 1] - breaks[j]), 0);
            });
        }
    return grid;
}

struct Case
{
    double width; ///< of the hole, per side of the plate
    std::vector<double> lambda;
};

Check hole_check(const std::string& edges, bool is_round, const Case& c)
{
    const double f_top = c.lambda.back() * to_Hz();
    const double cell = element_side(section, f_top, 16);
    const ShellGrid grid = is_round ? round_hole(c.width, cell) : square_hole(c.width, cell);
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges(edges, side, side);
    Check check;
    check.id = fmt::format("{} hole {:g}, {}", is_round ? "round" : "square", c.width, edges);
    check.problem = fmt::format("square plate, edges {}, central {} hole of {:g} a, t/a = 0.005: ω a² √(ρh/D)", edges,
                                is_round ? "round" : "square", c.width);
    check.source = "problem class of Paramasivam, J. Sound Vib. 30 (1973) 173";
    check.confirmed =
        is_round ? recomputed_high_order + "; printed tables not opened"
                 : recomputed + " (conforming cubic elements, 80 × 80, upper bounds, still falling by 0.005 to 0.12 %)";
    check.mesh = fmt::format("{} Quad9", grid.model().elements.size());
    check.reference = c.lambda;
    check.ours = frequencies(grid.model(), holds, edges == "FFFF" ? 3 : 0, static_cast<int>(c.lambda.size()), f_top);
    for (double& value : check.ours) value /= to_Hz();
    return check;
}

} // namespace

std::vector<Check> cut_out_checks()
{
    // Reference: Ritz series of polynomials and functions singular at the hole's centre; three basis sizes agree to
    // 5e-6.
    const std::vector<std::pair<std::string, std::vector<Case>>> round_cases = {
        {"SSSS",
         {{0.1, {19.5326, 49.2816, 49.2816, 78.459, 97.8039, 97.9101}},
          {0.3, {19.4823, 46.3766, 46.3766, 75.4815, 93.3083, 113.2361}},
          {0.5, {22.4467, 42.6559, 42.6559, 70.77, 86.9883, 120.9179}}}},
        {"CCCC",
         {{0.1, {35.8022, 73.2289, 73.2289, 107.4113, 130.3712, 131.2415}},
          {0.3, {39.345, 68.2813, 68.2813, 102.7282, 123.4574, 156.1124}},
          {0.5, {56.4321, 72.0761, 72.0761, 98.1554, 120.3509, 155.7994}}}},
        {"FFFF",
         {{0.1, {13.3721, 19.4105, 23.8371, 34.7922, 34.7922, 61.019}},
          {0.3, {12.6418, 18.06, 22.3797, 34.2464, 34.2464, 57.7877}},
          {0.5, {11.3498, 15.8722, 22.3028, 32.1131, 32.1131, 53.1032}}}},
    };
    // Reference: Bogner-Fox-Schmit elements.
    const std::vector<std::pair<std::string, std::vector<Case>>> square_cases = {
        {"SSSS", {{0.2, {19.13, 47.676, 47.676, 76.387, 95.685}}, {0.5, {23.456, 40.192, 40.192, 71.247, 73.414}}}},
        {"CCCC", {{0.2, {36.694, 69.876, 69.876, 104.092, 127.032}}, {0.5, {65.37, 76.312, 76.312, 102.732, 106.596}}}},
        {"FFFF",
         {{0.2, {12.9576, 18.6117, 22.6457, 34.6403, 34.6403}}, {0.5, {10.6154, 15.1934, 22.2237, 31.4637, 31.4637}}}},
    };
    std::vector<Check> checks;
    for (const auto& [edges, cases] : round_cases)
        for (const Case& c : cases) {
            Check check = hole_check(edges, true, c);
            check.tolerance = 0.005;
            check.why = "target for thin plates";
            checks.push_back(std::move(check));
        }
    for (const auto& [edges, cases] : square_cases)
        for (const Case& c : cases) {
            Check check = hole_check(edges, false, c);
            check.tolerance = 0.005;
            check.why = "target for thin plates";
            checks.push_back(std::move(check));
        }
    return checks;
}

} // namespace stillwall::published
