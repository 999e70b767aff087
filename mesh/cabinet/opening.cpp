#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace stillwall {
namespace {

// A core's sides; a point gives one side of no length.
template <class Visit> void for_each_side(const Polygon& corners, Visit visit)
{
    const std::size_t n = corners.size();
    const std::size_t n_sides = n <= 2 ? 1 : n;
    for (std::size_t i = 0; i < n_sides; ++i) visit(corners[i], corners[(i + 1) % n]);
}

double side_distance(const Polygon& corners, const Vector2d& from, const Vector2d& to)
{
    double least = std::numeric_limits<double>::infinity();
    for_each_side(corners, [&](const Vector2d& a, const Vector2d& b) {
        least = std::min(least, segment_distance(a, b, from, to));
    });
    return least;
}

} // namespace

OpeningCore opening_core(const Opening& opening)
{
    using Shape = OpeningPlan::Shape;
    const double w = opening.width, h = opening.shape == Shape::Circle ? opening.width : opening.height;
    double radius = 0;
    if (opening.shape == Shape::Circle || opening.shape == Shape::Slot) radius = std::min(w, h) / 2;
    if (opening.shape == Shape::RoundedRectangle) radius = opening.corner_radius;
    const double a = std::max(0.0, w / 2 - radius), b = std::max(0.0, h / 2 - radius);

    const Vector2d u(std::cos(opening.rotation), std::sin(opening.rotation)), v(-u.y(), u.x());
    const Vector2d c = opening.centre;
    OpeningCore core;
    core.radius = radius;
    if (a == 0 && b == 0)
        core.corners = {c};
    else if (b == 0)
        core.corners = {c - a * u, c + a * u};
    else if (a == 0)
        core.corners = {c - b * v, c + b * v};
    else
        core.corners = {c - a * u - b * v, c + a * u - b * v, c + a * u + b * v, c - a * u + b * v};
    return core;
}

bool holds_cone(const Opening& opening)
{
    return opening.insert.kind == InsertPlan::Kind::Driver || opening.insert.kind == InsertPlan::Kind::Passive;
}

std::optional<Opening> flange_of(const Opening& opening)
{
    if (!opening.insert.body.flange_diameter) return std::nullopt;
    Opening flange = opening;
    flange.shape = OpeningPlan::Shape::Circle;
    flange.width = flange.height = *opening.insert.body.flange_diameter;
    return flange;
}

Polygon rebate_region(const Opening& opening)
{
    const std::optional<Opening> flange = flange_of(opening);
    if (!flange || !(opening.insert.body.recess > 0)) return {};
    constexpr int n = 96;
    // Corners a little outside the circle give the polygon its area.
    const double turn = 2 * std::numbers::pi / n, radius = flange->width / 2 * std::sqrt(turn / std::sin(turn));
    Polygon region;
    for (int i = 0; i < n; ++i)
        region.push_back(opening.centre + radius * Vector2d(std::cos(i * turn), std::sin(i * turn)));
    return region;
}

double rebate_volume(const Opening& opening)
{
    const std::optional<Opening> flange = flange_of(opening);
    return flange ? (opening_area(*flange) - opening_area(opening)) * opening.insert.body.recess : 0;
}

Polygon screw_places(const Opening& opening)
{
    Polygon places;
    const std::optional<ScrewCircle>& screws = opening.insert.body.screws;
    for (int i = 0; screws && i < screws->count; ++i) {
        const double turn = 2 * std::numbers::pi * i / screws->count;
        places.push_back(opening.centre + screws->circle / 2 * Vector2d(-std::sin(turn), std::cos(turn)));
    }
    return places;
}

bool is_notch_side(const Board& board, std::size_t side)
{
    constexpr double near = 1e-7; // [m]
    const Vector2d middle = 0.5 * (board.outline.at(side) + board.outline[(side + 1) % board.outline.size()]);
    return !board.edge_on.at(side) &&
           std::any_of(board.notches.begin(), board.notches.end(),
                       [&](const Polygon& notch) { return distance_to_boundary(notch, middle) < near; });
}

bool is_open(const Opening& opening)
{
    return opening.insert.kind == InsertPlan::Kind::None;
}

double perimeter(const OpeningCore& core)
{
    double sum = 0;
    for_each_side(core.corners, [&](const Vector2d& a, const Vector2d& b) { sum += (b - a).norm(); });
    return core.corners.size() == 2 ? 2 * sum : sum;
}

double grown_area(const OpeningCore& core)
{
    return signed_area(core.corners) + core.radius * perimeter(core) + std::numbers::pi * core.radius * core.radius;
}

std::string insert_word(InsertPlan::Kind kind)
{
    switch (kind) {
    case InsertPlan::Kind::None:
        break;
    case InsertPlan::Kind::Driver:
        return "driver";
    case InsertPlan::Kind::Port:
        return "port";
    case InsertPlan::Kind::Plate:
        return "plate";
    case InsertPlan::Kind::Passive:
        return "passive radiator";
    }
    return {};
}

const std::string& insert_name(const WrittenOpening& opening)
{
    return opening.insert.name.empty() ? opening.name : opening.insert.name;
}

double opening_area(const Opening& opening)
{
    return grown_area(opening_core(opening));
}

Polygon grown_outline(const OpeningCore& core, int per_corner)
{
    // The first corner's arc starts square to the last side; each corner turns by 2π/n (n = 1, 2, 4).
    const std::size_t n = core.corners.size();
    const Vector2d last_side = n == 1 ? Vector2d::UnitX().eval() : Vector2d(core.corners[0] - core.corners[n - 1]);
    const double turn = 2 * std::numbers::pi / static_cast<double>(n);
    double angle = std::atan2(-last_side.x(), last_side.y());
    Polygon outline;
    for (const Vector2d& corner : core.corners) {
        const auto add = [&](double t, double reach) {
            outline.push_back(corner + reach * Vector2d(std::cos(t), std::sin(t)));
        };
        if (per_corner == 0) add(angle + turn / 2, core.radius / std::cos(turn / 2));
        const int n_points = per_corner == 0 || n == 1 ? per_corner : per_corner + 1;
        for (int k = 0; k < n_points; ++k) add(angle + turn * k / per_corner, core.radius);
        angle += turn;
    }
    return outline;
}

Polygon opening_outline(const Opening& opening, int n_arc)
{
    const OpeningCore core = opening_core(opening);
    if (core.radius == 0) return core.corners;
    return grown_outline(core, std::max(1, n_arc / static_cast<int>(core.corners.size())));
}

double land_between(const Opening& a, const Opening& b)
{
    const OpeningCore core_a = opening_core(a), core_b = opening_core(b);
    double least = std::numeric_limits<double>::infinity();
    for_each_side(core_b.corners, [&](const Vector2d& from, const Vector2d& to) {
        least = std::min(least, side_distance(core_a.corners, from, to));
    });
    const bool is_nested = (core_a.corners.size() > 2 && contains(core_a.corners, core_b.corners[0])) ||
                           (core_b.corners.size() > 2 && contains(core_b.corners, core_a.corners[0]));
    return (is_nested ? 0 : least) - core_a.radius - core_b.radius;
}

double land_inside(const Polygon& outline, const Opening& opening)
{
    const OpeningCore core = opening_core(opening);
    double least = std::numeric_limits<double>::infinity();
    for_each_side(outline, [&](const Vector2d& a, const Vector2d& b) {
        least = std::min(least, side_distance(core.corners, a, b));
    });
    if (!contains(outline, core.corners[0])) least = -least;
    return least - core.radius;
}

double land_to_segment(const Opening& opening, const Vector2d& from, const Vector2d& to)
{
    const OpeningCore core = opening_core(opening);
    const bool is_within = core.corners.size() > 2 && contains(core.corners, from);
    return (is_within ? 0 : side_distance(core.corners, from, to)) - core.radius;
}

bool is_in_window(const Board& board, const Vector2d& p)
{
    return board.kind == Board::Kind::Brace &&
           std::any_of(board.openings.begin(), board.openings.end(),
                       [&](const Opening& hole) { return is_open(hole) && land_to_segment(hole, p, p) <= 0; });
}

} // namespace stillwall
