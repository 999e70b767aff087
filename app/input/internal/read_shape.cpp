#include "app/input/internal/nearest.h"
#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/read_corners.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits size_limits{0.03, 3};
constexpr double degree = std::numbers::pi / 180;
constexpr Limits slope_limits{-30 * degree, 30 * degree};
constexpr std::size_t max_corners = 24;

void name_walls(CabinetPlan& plan, const std::vector<std::string>& names, const SourcePos& where)
{
    for (const std::string& name : names) {
        WallPlan wall;
        wall.name = name;
        wall.where = where;
        plan.walls.push_back(wall);
    }
}

void read_box(const YamlNode& cabinet, bool is_taper, CabinetPlan& plan)
{
    if (is_taper)
        cabinet.only_keys({"shape", "width", "rear_width", "height", "depth", "baffle_slope", "welded"});
    else
        cabinet.only_keys({"shape", "width", "height", "depth", "baffle_slope", "welded"});
    const double width = cabinet.at("width").length(size_limits);
    const double depth = cabinet.at("depth").length(size_limits);
    const double rear = is_taper ? cabinet.at("rear_width").length(size_limits) : width;
    const double inset = (width - rear) / 2;
    plan.outline = {{0, 0}, {width, 0}, {width - inset, depth}, {inset, depth}};
    name_walls(plan, {"front", "right", "back", "left"}, cabinet.where());
}

double signed_area(const std::vector<Vector2d>& outline)
{
    double twice = 0;
    for (std::size_t i = 0; i < outline.size(); ++i) {
        const Vector2d& a = outline[i];
        const Vector2d& b = outline[(i + 1) % outline.size()];
        twice += a.x() * b.y() - b.x() * a.y();
    }
    return twice / 2;
}

void read_prism(const YamlNode& cabinet, CabinetPlan& plan)
{
    cabinet.only_keys({"shape", "outline", "walls", "height", "baffle_slope", "welded"});
    const YamlNode outline = cabinet.at("outline");
    const std::vector<WrittenCorner> corners = read_corners(outline, max_corners);
    for (const WrittenCorner& corner : corners) plan.outline.push_back(corner.at);
    if (signed_area(plan.outline) <= 0)
        outline.fail("corners must run anticlockwise seen from above, with x to the right and y to the back");

    std::vector<std::string> names;
    if (const auto walls = cabinet.find("walls")) {
        std::set<std::string> taken{"top", "bottom", "all"};
        for (const YamlNode& item : walls->items(corners.size())) {
            names.push_back(item.text());
            check_name(item, names.back());
            if (!taken.insert(names.back()).second)
                item.fail(fmt::format("name '{}' is taken, wall names must differ", names.back()));
        }
    } else {
        for (std::size_t i = 1; i <= corners.size(); ++i) names.push_back(fmt::format("wall_{}", i));
    }
    name_walls(plan, names, cabinet.where());
    for (std::size_t i = 0; i < corners.size(); ++i)
        plan.walls[i].bulge = bulge_of(corners[i], corners[(i + 1) % corners.size()]);
}

} // namespace

void read_shape(const YamlNode& cabinet, CabinetPlan& plan)
{
    plan.where = cabinet.where();
    plan.top.name = "top";
    plan.bottom.name = "bottom";
    plan.top.where = plan.bottom.where = cabinet.where();
    if (cabinet.is_map() && !cabinet.has("shape")) cabinet.fail("needs a shape: box, taper or prism");
    const YamlNode word = cabinet.at("shape");
    for (const std::string_view bent : {"curved", "cylinder", "round", "sphere", "egg"})
        if (word.is_scalar() && word.text() == bent)
            word.fail("write a prism whose outline has arcs: a corner {at: [x, y], bulge: 25} or {at: [x, y], radius: "
                      "400} bends the wall to the next corner");
    const std::size_t shape = word.choice({"box", "taper", "prism"});
    if (shape == 2)
        read_prism(cabinet, plan);
    else
        read_box(cabinet, shape == 1, plan);
    plan.height = cabinet.at("height").length(size_limits);
    if (const auto slope = cabinet.find("baffle_slope"))
        plan.baffle_slope = slope->measure(Dimension::Angle, slope_limits);
}

void read_laps(const YamlNode& laps, CabinetPlan& plan)
{
    constexpr std::string_view word = " over ";
    const std::vector<std::string> known = wall_names(plan);
    for (const YamlNode& item : read_parts(laps)) {
        const std::string text = item.text();
        const std::size_t split = text.find(word);
        if (split == std::string::npos) item.fail(fmt::format("must read like 'front over left', got '{}'", text));
        CabinetPlan::Lap lap;
        lap.over = text.substr(0, split);
        lap.under = text.substr(split + word.size());
        lap.where = item.where();
        for (const std::string& name : {lap.over, lap.under})
            if (std::find(known.begin(), known.end(), name) == known.end())
                item.fail(fmt::format("no wall is called '{}'{}", name, hint_from(name, known)));
        if (lap.over == lap.under) item.fail("a board cannot lap itself");
        for (const CabinetPlan::Lap& other : plan.laps)
            if ((other.over == lap.over && other.under == lap.under) ||
                (other.over == lap.under && other.under == lap.over))
                item.fail(fmt::format("the joint of '{}' and '{}' is given twice", lap.over, lap.under));
        plan.laps.push_back(lap);
    }
}

} // namespace stillwall::app
