// Curved walls as rows of flat facets.

#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/curved_walls.h"
#include "mesh/cabinet/polygon.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double wanted_rise = 0.4e-3; ///< [m] of the arc over a facet
constexpr double most_rise = 2e-3;     ///< [m] where boards stand close on a tight curve
constexpr double tightest = 4.5;       ///< [-] thicknesses of the thickest board in a radius
constexpr double narrowest = 1.5;      ///< [-] thicknesses of the thickest board in a facet: a joint's strip must fit
constexpr double least_spare = 3e-3, most_spare = 15e-3; ///< [m] beside the strip of a plate that stands on the wall
constexpr double plate_rise = 1e-3;     ///< [m] of the arc over a plate's facet, where it need not be more
constexpr double smooth = 5 * pi / 180; ///< [rad] walls that turn by less go on into each other

double cross(const Vector2d& a, const Vector2d& b)
{
    return a.x() * b.y() - a.y() * b.x();
}

/// Shares of the arc between which no two facets may meet, because a plate stands there.
using Zone = Interval;

double thickest_board(const CabinetPlan& plan)
{
    double t = std::max(plan.top.layup.thickness(), plan.bottom.layup.thickness());
    for (const WallPlan& wall : plan.walls) t = std::max(t, wall.layup.thickness());
    for (const BracePlan& brace : plan.braces) t = std::max(t, brace.layup.thickness());
    return t;
}

/// Where upright plates meet the arc.
std::vector<Zone> plate_zones(const CabinetPlan& plan, const WallPlan& wall, const Arc& arc)
{
    std::vector<Zone> zones;
    const double length = arc.radius * std::abs(arc.turn);
    for (const BracePlan& brace : plan.braces) {
        const bool is_x = brace.plane == BracePlan::Plane::FrontToBack;
        if (!is_x && brace.plane != BracePlan::Plane::SideToSide) continue;
        const int axis = is_x ? 0 : 1;
        const double off = (brace.at - arc.centre[axis]) / arc.radius;
        if (std::abs(off) >= 1) continue;
        const double first = is_x ? std::acos(off) : std::asin(off), second = is_x ? -first : pi - first;
        for (const double angle : {first, second}) {
            double share = std::remainder(angle - arc.start, 2 * pi) / arc.turn;
            if (share < 0) share += 2 * pi / std::abs(arc.turn);
            const double sine = std::max(std::sqrt(1 - off * off), 0.2);
            const double strip = brace.layup.thickness() / 2 / sine + strip_extension * wall.layup.thickness();
            const double spare = std::clamp(std::sqrt(2 * plate_rise * arc.radius) - strip, least_spare, most_spare);
            const double half = (strip + spare) / length;
            if (share - half < 1 && share + half > 0) zones.emplace_back(share - half, share + half);
        }
    }
    std::sort(zones.begin(), zones.end());
    std::vector<Zone> merged;
    for (const Zone& zone : zones) {
        if (!merged.empty() && zone.first < merged.back().second)
            merged.back().second = std::max(merged.back().second, zone.second);
        else
            merged.push_back(zone);
    }
    return merged;
}

/// Shares of the arc at which its facets meet, both ends included.
std::vector<double> breaks(const std::vector<Zone>& zones, double wanted)
{
    std::vector<double> at = {0};
    const auto fill = [&](double to) { // evenly from the last break
        const double from = at.back();
        const int n = std::max(1, static_cast<int>(std::lround((to - from) / wanted)));
        for (int i = 1; i <= n; ++i) at.push_back(from + (to - from) * i / n);
    };
    for (const Zone& zone : zones) {
        if (zone.first - at.back() > 0.5 * wanted) fill(zone.first);
        if (1 - zone.second < 0.5 * wanted) break;
        at.push_back(zone.second);
    }
    if (1 - at.back() > 1e-9) {
        // After a plate the rest is filled; a plate near the end keeps one facet to it.
        fill(1);
    }
    return at;
}

/// Corners of the facets, the first on the arc's start, the last left out. Between them they stand a little off the
/// arc, so that the row bounds the same area.
Polygon facet_corners(const Arc& arc, const std::vector<double>& at)
{
    const std::size_t n = at.size() - 1;
    const double turn = std::abs(arc.turn);
    std::vector<double> off(n, 0.0);
    double wanted = 0, got = 0; // areas over R²
    for (std::size_t i = 0; i < n; ++i) {
        const double d = turn * (at[i + 1] - at[i]);
        wanted += (d - std::sin(d)) / 2;
        if (i == 0) continue;
        const double before = turn * (at[i] - at[i - 1]);
        off[i] = (before * before + d * d) / 24;
        got += off[i] * (std::sin(before) + std::sin(d)) / 2;
    }
    Polygon corners;
    for (std::size_t i = 0; i < n; ++i)
        corners.push_back(arc.at(at[i], got > 0 ? off[i] * wanted / got * arc.radius : 0));
    return corners;
}

void refuse_on_curve(const CabinetPlan& plan, const std::string& board, const SourcePos& where, const std::string& key,
                     const char* what)
{
    for (const WallPlan& wall : plan.walls)
        if (wall.bulge != 0 && wall.name == board)
            throw InputError(where, key,
                             std::string(what) + " a curved wall cannot be computed; '" + board +
                                 "' must be flat for it (no radius, no bulge), or put it on another board");
}

void check_parts(const CabinetPlan& plan)
{
    for (const OpeningPlan& o : plan.openings)
        refuse_on_curve(plan, o.board, o.where, "openings." + o.name + ".board", "a hole in");
    for (const RibPlan& r : plan.ribs) refuse_on_curve(plan, r.board, r.where, "ribs." + r.name + ".board", "a rib on");
    for (const MassPlan& m : plan.masses)
        refuse_on_curve(plan, m.board, m.where, "masses." + m.name + ".board", "a weight on");
    for (const LayerPlan& l : plan.layers)
        refuse_on_curve(plan, l.board, l.where, "damping." + l.name + ".board", "a layer on");
    for (const SupportPlan& s : plan.supports) {
        refuse_on_curve(plan, s.board, s.where, "supports." + s.name + ".board", "a support on");
        refuse_on_curve(plan, s.neighbour, s.where, "supports." + s.name + ".edge", "a clamped edge at");
    }
    for (const JointPlan& joint : plan.joints)
        if (joint.lip > 0)
            throw InputError(joint.where, "joints." + joint.name + ".lip",
                             "a rebate cannot be drawn round curved walls; leave the lip out");
    for (const BracePlan& brace : plan.braces)
        if (brace.plane == BracePlan::Plane::Slanted)
            throw InputError(brace.where, "braces." + brace.name,
                             "a slanted plate in a cabinet with curved walls cannot be computed; make it horizontal or "
                             "upright, or the walls flat");
}

} // namespace

Vector2d Arc::at(double share, double off) const
{
    const double angle = start + share * turn;
    return centre + (radius + off) * Vector2d(std::cos(angle), std::sin(angle));
}

Arc arc_over(const Vector2d& from, const Vector2d& to, double bulge)
{
    const Vector2d along = to - from, out = Vector2d(along.y(), -along.x()).normalized();
    const double chord = along.norm(), rise = std::abs(bulge);
    Arc arc;
    arc.radius = (chord * chord / 4 + rise * rise) / (2 * rise);
    arc.centre = (from + to) / 2 + (bulge - std::copysign(arc.radius, bulge)) * out;
    const Vector2d first = from - arc.centre;
    arc.start = std::atan2(first.y(), first.x());
    arc.turn = std::copysign(4 * std::atan(2 * rise / chord), bulge);
    return arc;
}

bool has_curved_walls(const CabinetPlan& plan)
{
    return std::any_of(plan.walls.begin(), plan.walls.end(), [](const WallPlan& w) { return w.bulge != 0; });
}

void check_curved(const CabinetPlan& plan)
{
    if (plan.baffle_slope != 0)
        throw InputError(plan.where, "cabinet.baffle_slope",
                         "does not go with curved walls: a leaning board would cut their curve aslant; leave it out");
    const double t = thickest_board(plan);
    for (std::size_t k = 0; k < plan.walls.size(); ++k) {
        const WallPlan& wall = plan.walls[k];
        if (wall.bulge == 0) continue;
        const Vector2d &from = plan.outline[k], &to = plan.outline[(k + 1) % plan.outline.size()];
        if (!std::isfinite(wall.bulge) || std::abs(wall.bulge) > 0.5 * (to - from).norm() * (1 + 1e-9))
            throw InputError(plan.where, "cabinet.outline",
                             "'" + wall.name + "' bulges by " + in_mm(wall.bulge) +
                                 ", more than half a circle over its side of " + in_mm((to - from).norm()) +
                                 "; give it another corner");
        const double radius = arc_over(from, to, wall.bulge).radius;
        if (radius < tightest * t)
            throw InputError(plan.where, "cabinet.outline",
                             "'" + wall.name + "' has a radius of " + in_mm(radius) + "; with boards of " + in_mm(t) +
                                 " at least " + in_mm(tightest * t) + " can be computed");
    }
    check_parts(plan);
}

CabinetPlan faceted(const CabinetPlan& plan, std::vector<int>& wall)
{
    CabinetPlan flat = plan;
    flat.outline.clear();
    flat.walls.clear();
    wall.clear();
    const double t = thickest_board(plan);
    for (std::size_t k = 0; k < plan.walls.size(); ++k) {
        const WallPlan& own = plan.walls[k];
        Polygon corners = {plan.outline[k]};
        if (own.bulge != 0) {
            const Arc arc = arc_over(plan.outline[k], plan.outline[(k + 1) % plan.outline.size()], own.bulge);
            const double length = arc.radius * std::abs(arc.turn);
            const double facet = std::max(std::min(std::sqrt(8 * wanted_rise * arc.radius), length / 4), narrowest * t);
            const std::vector<double> at = breaks(plate_zones(plan, own, arc), facet / length);
            for (std::size_t i = 0; i + 1 < at.size(); ++i) {
                const double width = length * (at[i + 1] - at[i]);
                if (at.size() > 2 && width * width < 8 * most_rise * arc.radius) continue;
                throw InputError(plan.where, "cabinet.outline",
                                 "'" + own.name + "' is bent too tightly, with " + in_mm(arc.radius) +
                                     " round, for the boards that meet it; a larger radius or thinner boards are "
                                     "needed");
            }
            corners = facet_corners(arc, at);
        }
        for (const Vector2d& corner : corners) {
            flat.outline.push_back(corner);
            flat.walls.push_back(own);
            wall.push_back(static_cast<int>(k));
        }
    }
    if (!is_simple(flat.outline))
        throw InputError(plan.where, "cabinet.outline", "with its arcs the outline crosses itself; bulge them less");
    return flat;
}

void join_facets(const CabinetPlan& flat_plan, Cabinet& flat)
{
    const auto is_facet = [&](int b) {
        return b < static_cast<int>(flat_plan.walls.size()) && flat_plan.walls[static_cast<std::size_t>(b)].bulge != 0;
    };
    // A facet's plane differs from the tangent at its end by half its turn.
    const auto half_turn = [&](int b) {
        if (!is_facet(b)) return 0.0;
        const auto k = static_cast<std::size_t>(b), n = flat_plan.outline.size();
        double turn = 0;
        for (const std::size_t other : {(k + 1) % n, (k + n - 1) % n}) {
            if (flat_plan.walls[other].name != flat_plan.walls[k].name) continue;
            const Vector2d a = flat_plan.outline[(k + 1) % n] - flat_plan.outline[k],
                           c = flat_plan.outline[(other + 1) % n] - flat_plan.outline[other];
            turn = std::max(turn, std::abs(std::asin(cross(a.normalized(), c.normalized()))));
        }
        return turn / 2;
    };
    for (Junction& j : flat.junctions) {
        if (!is_facet(j.passing) && !is_facet(j.ending)) continue;
        const bool is_inner = flat.board(j.passing).name == flat.board(j.ending).name;
        if (!is_inner && pi - j.angle > smooth + half_turn(j.passing) + half_turn(j.ending)) continue;
        j.overlap_passing = j.overlap_ending = j.strip_passing = j.strip_ending = 0;
    }
}

} // namespace stillwall
