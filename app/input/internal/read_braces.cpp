#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/window.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

void read_plane(const YamlNode& part, BracePlan& brace)
{
    using Plane = BracePlan::Plane;
    constexpr Plane planes[] = {Plane::Horizontal, Plane::FrontToBack, Plane::SideToSide, Plane::Slanted};
    if (const YamlNode plane = part.at("plane"); plane.is_scalar() && plane.text() == "vertical")
        plane.fail("an upright plate runs front_to_back or side_to_side, write one of these");
    brace.plane = planes[part.at("plane").choice({"horizontal", "front_to_back", "side_to_side", "slanted"})];
    if (brace.plane != Plane::Slanted) {
        for (std::string_view key : {"through", "normal"})
            if (const auto found = part.find(key)) found->fail("belongs to slanted plates only, use 'at' here");
        brace.at = part.at("at").length(coordinate_limits);
        return;
    }
    if (const auto at = part.find("at")) at->fail("a slanted plate is given by 'through' and 'normal', not by 'at'");
    brace.point = read_point3(part.at("through"));
    const YamlNode normal = part.at("normal");
    const std::vector<YamlNode> items = normal.items(3);
    constexpr Limits component_limits{-1e3, 1e3};
    for (int i = 0; i < 3; ++i) brace.normal[i] = items[static_cast<std::size_t>(i)].number(component_limits);
    constexpr double shortest = 1e-3;
    if (brace.normal.norm() < shortest) normal.fail("has no direction, write three numbers such as [0, 1, 1]");
    brace.normal.normalize();
}

void read_limits(const YamlNode& part, BracePlan& brace)
{
    const auto read = [&part](std::string_view side, std::string_view axis) -> std::optional<double> {
        const auto ends = part.find(side);
        const auto end = ends ? ends->find(axis) : std::nullopt;
        return end ? std::optional(end->length(coordinate_limits)) : std::nullopt;
    };
    for (std::string_view side : {"from", "to"})
        if (const auto ends = part.find(side)) ends->only_keys({"x", "y", "z"});
    brace.x_from = read("from", "x");
    brace.y_from = read("from", "y");
    brace.z_from = read("from", "z");
    brace.x_to = read("to", "x");
    brace.y_to = read("to", "y");
    brace.z_to = read("to", "z");
    const auto check = [&part](const std::optional<double>& from, const std::optional<double>& to, char axis) {
        if (from && to && *from >= *to) part.at("to").fail(fmt::format("{0} must be greater than 'from' {0}", axis));
    };
    check(brace.x_from, brace.x_to, 'x');
    check(brace.y_from, brace.y_to, 'y');
    check(brace.z_from, brace.z_to, 'z');
}

void read_windows(const YamlNode& windows, const BracePlan& brace, std::set<std::string>& taken, CabinetPlan& plan)
{
    int n = 0;
    for (const YamlNode& part : read_parts(windows)) {
        ++n;
        part.only_keys({"name", "shape", "diameter", "width", "height", "corner_radius", "rotation", "at"});
        OpeningPlan window;
        window.where = part.where();
        window.board = brace.name;
        if (part.has("name"))
            window.name = read_name(part, taken);
        else
            window.name = fmt::format("{} window {}", brace.name, n);
        taken.insert(window.name);
        read_hole_size(part, window);
        if (const auto at = part.find("at")) set_centre(read_place(*at, plan, brace.name), window);
        plan.openings.push_back(window);
    }
}

/// The names must be those of other braces, which may come later in the list.
void read_ends(const std::vector<YamlNode>& parts, CabinetPlan& plan)
{
    std::vector<std::string> names;
    for (const BracePlan& brace : plan.braces) names.push_back(brace.name);
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto ends = parts[i].find("ends_at");
        if (!ends) continue;
        for (const YamlNode& item : ends->items()) {
            const std::string name = read_reference(item, names, "brace");
            if (name == plan.braces[i].name) item.fail("a brace cannot end at itself");
            plan.braces[i].ends_at.push_back(name);
        }
    }
}

} // namespace

void read_braces(const YamlNode& braces, const StockChoice& all, StockReader& stock, CabinetPlan& plan)
{
    const std::vector<YamlNode> parts = read_parts(braces);
    const std::vector<std::string> walls = wall_names(plan);
    std::set<std::string> taken(walls.begin(), walls.end());
    std::set<std::string> windows_taken;
    for (const YamlNode& part : parts) {
        part.only_keys({"name", "plane", "at", "through", "normal", "material", "thickness", "layers", "grain",
                        "welded", "from", "to", "ends_at", "notched", "windows"});
        BracePlan brace;
        brace.where = part.where();
        brace.name = read_name(part, taken);
        read_plane(part, brace);
        read_limits(part, brace);
        if (const auto n = part.find("notched")) brace.notched = n->choice({"no", "yes"}) == 1;
        const StockChoice choice = choice_of(part).or_else(all);
        brace.layup = stock.layup(choice, part);
        brace.grain = choice.grain_angle();
        brace.grain_rule = choice.grain_rule();
        plan.braces.push_back(brace);
        if (const auto windows = part.find("windows")) read_windows(*windows, plan.braces.back(), windows_taken, plan);
    }
    read_ends(parts, plan);
}

} // namespace stillwall::app
