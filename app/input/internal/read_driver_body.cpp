#include "app/input/internal/read_driver_body.h"

#include "mesh/cabinet/opening.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

constexpr Limits depth_limits{5e-3, 1};
constexpr Limits diameter_limits{5e-3, 1};
constexpr Limits pilot_limits{5e-4, 20e-3};
constexpr double least_wood = 2e-3;  // [m] under a rebate
constexpr double same_length = 1e-9; // [m]

/// The circle about its centre that holds the whole hole [m].
double hole_diameter(const OpeningPlan& plan)
{
    double radius = 0;
    for (const Vector2d& corner : opening_outline(Opening{plan}, 72)) radius = std::max(radius, corner.norm());
    return 2 * radius;
}

int read_count(const YamlNode& node)
{
    constexpr Limits limits{1, 60};
    const double count = node.number(limits);
    if (count != static_cast<int>(count)) node.fail(fmt::format("must be a whole number, got {}", node.text()));
    return static_cast<int>(count);
}

ScrewCircle read_screws(const YamlNode& node, double hole, const std::optional<double>& flange)
{
    node.only_keys({"count", "circle", "pilot"});
    const YamlNode circle = node.at("circle");
    const ScrewCircle screws{read_count(node.at("count")), circle.length(diameter_limits),
                             node.at("pilot").length(pilot_limits)};
    const auto told = [&node](double length) { return format_measure(length, Dimension::Length, node.length_unit()); };
    if (flange && screws.circle + screws.pilot > *flange)
        circle.fail(fmt::format("its holes reach over the edge of the flange of {}, got a circle of {}", told(*flange),
                                circle.text()));
    if (screws.circle - screws.pilot < hole)
        circle.fail(
            fmt::format("its holes break into the hole of {}, got a circle of {}; the circle is the diameter on "
                        "which the screws stand",
                        told(hole), circle.text()));
    return screws;
}

} // namespace

DriverBody read_driver_body(const YamlNode& driver, const OpeningPlan& opening, double thickness)
{
    DriverBody body;
    const double hole = hole_diameter(opening);
    const auto told = [&](double length) { return format_measure(length, Dimension::Length, driver.length_unit()); };
    if (const auto n = driver.find("depth")) body.depth = n->length(depth_limits);
    if (const auto n = driver.find("magnet_diameter")) {
        body.magnet_diameter = n->length(diameter_limits);
        if (*body.magnet_diameter > hole + same_length)
            n->fail(fmt::format("does not pass through its hole of {}, got {}", told(hole), n->text()));
    }
    if (const auto n = driver.find("flange_diameter")) {
        body.flange_diameter = n->length(diameter_limits);
        if (*body.flange_diameter <= hole)
            n->fail(fmt::format("must be larger than the hole of {} it covers, got {}", told(hole), n->text()));
    }
    if (const auto n = driver.find("recess")) {
        if (!body.flange_diameter) n->fail("needs a flange_diameter, the size of the rebate");
        body.recess = n->length({0, 0.1});
        if (body.recess > thickness - least_wood + same_length)
            n->fail(fmt::format("must leave {} of '{}', which is {} thick; got {}", told(least_wood), opening.board,
                                told(thickness), n->text()));
    }
    if (const auto n = driver.find("screws")) body.screws = read_screws(*n, hole, body.flange_diameter);
    return body;
}

} // namespace stillwall::app
