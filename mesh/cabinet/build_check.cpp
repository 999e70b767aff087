#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/polygon.h"

#include <cmath>
#include <cstdio>
#include <numbers>
#include <set>

namespace stillwall {
namespace {

constexpr double thickness_min = 1e-3, thickness_max = 0.2; // [m]
constexpr double size_min = 0.02, size_max = 5;             // [m]
constexpr double turn_min = 1 * std::numbers::pi / 180;     // [rad] flatter corners are no corners
constexpr double turn_max = 170 * std::numbers::pi / 180;   // [rad] sharper ones are splinters

// Also false for NaN.
bool is_between(double value, double low, double high)
{
    return value >= low && value <= high;
}

void check_material(const CabinetPlan& plan, int material, const SourcePos& where, const std::string& key)
{
    if (material < 0 || material >= static_cast<int>(plan.materials.size()))
        throw InputError(where, key, "names no material");
}

void check_layup(const CabinetPlan& plan, const Layup& layup, const SourcePos& where, const std::string& key)
{
    for (const Ply& ply : layup.plies) check_material(plan, ply.material, where, key);
    const double t = layup.thickness();
    if (!is_between(t, thickness_min, thickness_max)) {
        throw InputError(where, key + ".thickness",
                         "must lie between " + in_mm(thickness_min) + " and " + in_mm(thickness_max) + ", got " +
                             in_mm(t));
    }
}

void check_size(const CabinetPlan& plan, const char* what, double size)
{
    if (is_between(size, size_min, size_max)) return;
    throw InputError(plan.where, std::string("cabinet.") + what,
                     "must lie between " + in_mm(size_min) + " and " + in_mm(size_max) + ", got " + in_mm(size));
}

void check_outline(const CabinetPlan& plan)
{
    const Polygon& outline = plan.outline;
    const std::size_t n = outline.size();
    if (n < 3) throw InputError(plan.where, "cabinet.outline", "needs at least 3 corners, got " + std::to_string(n));
    for (const Vector2d& corner : outline) {
        if (!corner.allFinite()) throw InputError(plan.where, "cabinet.outline", "a corner is not a number");
    }
    if (plan.walls.size() != n) {
        throw InputError(plan.where, "cabinet.outline",
                         "has " + std::to_string(n) + " sides but " + std::to_string(plan.walls.size()) +
                             " walls are named, one per side is needed");
    }
    check_size(plan, "width", bounds(outline).size().x());
    check_size(plan, "depth", bounds(outline).size().y());
    if (!is_simple(outline))
        throw InputError(plan.where, "cabinet.outline",
                         "crosses or touches itself; list the corners in order round the box");
    if (signed_area(outline) < 0) {
        throw InputError(plan.where, "cabinet.outline",
                         "runs clockwise; list the corners anticlockwise as seen from above");
    }
    for (std::size_t k = 0; k < n; ++k) {
        const Vector2d before = outline[k] - outline[(k + n - 1) % n], after = outline[(k + 1) % n] - outline[k];
        const double turn = std::abs(std::atan2(before.x() * after.y() - before.y() * after.x(), before.dot(after)));
        const std::string pair = "'" + plan.walls[(k + n - 1) % n].name + "' and '" + plan.walls[k].name + "'";
        if (turn < turn_min)
            throw InputError(plan.where, "cabinet.outline", pair + " lie in one line; make them one wall");
        if (turn > turn_max)
            throw InputError(plan.where, "cabinet.outline", pair + " meet in a splinter of less than 10 degrees");
    }
}

template <class Item> void check_unique(const std::vector<Item>& items, const std::string& section)
{
    std::set<std::string> seen;
    for (const Item& item : items) {
        if (!seen.insert(item.name).second)
            throw InputError(item.where, section + "." + item.name, "this name is taken; names must differ");
    }
}

void check_board_names(const CabinetPlan& plan)
{
    std::set<std::string> seen;
    const auto take = [&](const std::string& name, const SourcePos& where, const char* section) {
        if (!seen.insert(name).second)
            throw InputError(where, std::string(section) + "." + name, "this board name is taken; names must differ");
    };
    for (const WallPlan& wall : plan.walls) take(wall.name, wall.where, "boards");
    take(plan.top.name, plan.top.where, "boards");
    take(plan.bottom.name, plan.bottom.where, "boards");
    for (const BracePlan& brace : plan.braces) take(brace.name, brace.where, "braces");
}

} // namespace

std::string in_mm(double metres)
{
    if (!std::isfinite(metres)) return "not a number";
    char text[64];
    std::snprintf(text, sizeof text, "%.2f", metres * 1000);
    std::string number = text;
    while (number.back() == '0') number.pop_back();
    if (number.back() == '.') number.pop_back();
    if (number == "-0") number = "0";
    return number + " mm";
}

void check_plan(const CabinetPlan& plan)
{
    check_outline(plan);
    check_size(plan, "height", plan.height);
    // Beyond this lean the board is a roof, not a baffle, and the frame's "up the face" loses its meaning.
    constexpr double slope_max = 60 * std::numbers::pi / 180;
    if (!is_between(plan.baffle_slope, -slope_max, slope_max))
        throw InputError(plan.where, "cabinet.baffle_slope", "must lie between -60 and 60 degrees");
    check_board_names(plan);
    for (const WallPlan& wall : plan.walls) check_layup(plan, wall.layup, wall.where, "boards." + wall.name);
    for (const WallPlan* wall : {&plan.top, &plan.bottom})
        check_layup(plan, wall->layup, wall->where, "boards." + wall->name);
    for (const BracePlan& brace : plan.braces) check_layup(plan, brace.layup, brace.where, "braces." + brace.name);
    check_unique(plan.openings, "openings");
    check_unique(plan.rods, "rods");
    check_unique(plan.ribs, "ribs");
    check_unique(plan.masses, "masses");
    check_unique(plan.supports, "supports");
    check_unique(plan.layers, "damping");
    check_unique(plan.joints, "joints");
    for (const LayerPlan& layer : plan.layers) {
        for (const Ply& ply : layer.layup.plies)
            check_material(plan, ply.material, layer.where, "damping." + layer.name);
    }
    for (const RodPlan& rod : plan.rods) check_material(plan, rod.material, rod.where, "rods." + rod.name);
    for (const RibPlan& rib : plan.ribs) check_material(plan, rib.material, rib.where, "ribs." + rib.name);
}

} // namespace stillwall
