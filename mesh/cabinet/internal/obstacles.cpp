#include "mesh/cabinet/internal/obstacles.h"

#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon_notch.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall {
namespace {

using Kind = Obstacle::Kind;

constexpr int n_ring = 48; ///< corners round a hole

/// A hole's edge grown by `spare`, lifted off the board.
std::vector<Vector3d> hole_ring(const Board& board, const Opening& opening, double spare, double height)
{
    std::vector<Vector3d> ring;
    OpeningCore core = opening_core(opening);
    core.radius += spare;
    const int per_corner = n_ring / static_cast<int>(core.corners.size());
    for (const Vector2d& p : grown_outline(core, core.radius > 0 ? per_corner : 0))
        ring.push_back(board.frame.to_space(p) + height * board.frame.n);
    return ring;
}

/// From the hole at the face the flange lies on to the motor's rear.
ConvexBody driver_body(const Board& board, const Opening& opening, double spare)
{
    const DriverSize size = driver_size(board, opening);
    const double face = board.thickness() / 2 - opening.insert.body.recess;
    ConvexBody body{hole_ring(board, opening, spare, face), {}};
    const Vector3d centre = board.frame.to_space(opening.centre) + face * board.frame.n;
    for (const Vector3d& p : body.front)
        body.rear.push_back(centre + (size.magnet / 2 + spare) * (p - centre).normalized() -
                            (size.depth + spare) * board.frame.n);
    return body;
}

/// What of the plate's plane is wood along a line.
std::vector<Interval> wood_along(const Board& board, const Vector2d& from, const Vector2d& along)
{
    std::vector<Interval> wood = line_inside(board.outline, from, along, false);
    for (const Opening& window : board.openings)
        if (is_open(window)) wood = without(wood, line_inside(opening_outline(window, 72), from, along, false));
    return wood;
}

bool holds_wood(const Board& board, const Polygon& region)
{
    constexpr int n_lines = 40;
    constexpr double least = 1e-4; // [m]
    const Bounds2 box = bounds(region);
    for (const int axis : {0, 1}) {
        const Vector2d along = Vector2d::Unit(axis);
        for (int i = 0; i < n_lines; ++i) {
            Vector2d from = box.low;
            from[1 - axis] += box.size()[1 - axis] * (i + 0.5) / n_lines;
            for (const Interval& part : common(line_inside(region, from, along, false), wood_along(board, from, along)))
                if (part.second - part.first > least) return true;
        }
    }
    return false;
}

/// The rectangle to cut out of a plate round footprints that belong to one hole: square to that hole's board and out
/// past its middle.
Polygon notch_round(const Polygon& points, const Board& plate, const Board& own)
{
    Vector2d out(own.frame.n.dot(plate.frame.e1), own.frame.n.dot(plate.frame.e2));
    const bool is_upright = out.norm() > 1e-3;
    out = is_upright ? Vector2d(out.normalized()) : Vector2d(Vector2d::UnitX());
    const Vector2d side(-out.y(), out.x());
    Vector2d low = Vector2d::Constant(1e9), high = -low;
    for (const Vector2d& p : points) {
        const Vector2d q(out.dot(p), side.dot(p));
        low = low.cwiseMin(q);
        high = high.cwiseMax(q);
    }
    if (is_upright) high.x() += own.thickness();
    Polygon notch;
    for (const Vector2d& q : {low, Vector2d(high.x(), low.y()), high, Vector2d(low.x(), high.y())})
        notch.push_back(q.x() * out + q.y() * side);
    return notch;
}

} // namespace

DriverSize driver_size(const Board& board, const Opening& opening)
{
    const InsertPlan& insert = opening.insert;
    const double width = std::min(opening.width, opening.height);
    std::optional<double> depth = insert.body.depth;
    // The rear is tied down at a known depth behind the board's middle.
    if (!depth && insert.rear_tie) depth = insert.rear_tie->depth + board.thickness() / 2 - insert.body.recess;
    return {depth.value_or(0.4 * width + 0.02), insert.body.magnet_diameter.value_or(0.65 * width), depth.has_value(),
            insert.body.magnet_diameter.has_value()};
}

std::vector<Obstacle> obstacles(const Cabinet& cabinet, double spare)
{
    constexpr double behind = 5e-4; // [m] a hole is kept free a hair past its board's inner face, where others begin
    std::vector<Obstacle> all;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        const double half = board.thickness() / 2;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const Opening& opening = board.openings[o];
            const auto add = [&](Kind kind, ConvexBody body, bool is_certain) {
                all.push_back({kind, static_cast<int>(b), static_cast<int>(o), std::move(body), is_certain});
            };
            if (board.kind == Board::Kind::Wall)
                add(Kind::Hole,
                    {hole_ring(board, opening, spare, half), hole_ring(board, opening, spare, -half - behind)}, true);
            if (opening.insert.kind == InsertPlan::Kind::Driver)
                add(Kind::Driver, driver_body(board, opening, spare), driver_size(board, opening).is_given());
            const double tube = opening.insert.port_length.value_or(0);
            if (opening.insert.kind == InsertPlan::Kind::Port && tube > board.thickness())
                add(Kind::Tube,
                    {hole_ring(board, opening, spare, -half), hole_ring(board, opening, spare, half - tube - spare)},
                    true);
        }
    }
    return all;
}

std::vector<std::vector<Vector3d>> bodies_inside(const Cabinet& cabinet)
{
    std::vector<std::vector<Vector3d>> bodies;
    for (const Obstacle& o : obstacles(cabinet, 0)) {
        if (o.kind == Kind::Hole) continue;
        std::vector<Vector3d>& corners = bodies.emplace_back(o.body.front);
        corners.insert(corners.end(), o.body.rear.begin(), o.body.rear.end());
    }
    return bodies;
}

std::string words_for(const Cabinet& cabinet, const Obstacle& obstacle)
{
    const Board& board = cabinet.board(obstacle.board);
    const std::string name = "'" + board.openings.at(static_cast<std::size_t>(obstacle.opening)).name + "'";
    switch (obstacle.kind) {
    case Kind::Driver:
        return "the driver " + name;
    case Kind::Tube:
        return "the tube of " + name;
    default:
        return "the hole " + name + " in '" + board.name + "'";
    }
}

std::string guess_words(const Cabinet& cabinet, const Obstacle& obstacle)
{
    if (obstacle.is_certain) return {};
    const Board& board = cabinet.board(obstacle.board);
    const Opening& opening = board.openings.at(static_cast<std::size_t>(obstacle.opening));
    const DriverSize size = driver_size(board, opening);
    const auto both = [&](const std::string& depth, const std::string& magnet, const std::string& between) {
        return size.has_depth ? magnet : size.has_magnet ? depth : depth + between + magnet;
    };
    return " (own estimate of '" + opening.name +
           "': " + both(in_mm(size.depth) + " deep", "magnet " + in_mm(size.magnet), ", ") + "; give its " +
           both("depth", "magnet_diameter", " and ") + ")";
}

bool meets_wood(const ConvexBody& body, const Board& board, double shift)
{
    Frame frame = board.frame;
    frame.origin += shift * frame.n;
    const double half = board.thickness() / 2;
    const Polygon region = footprint(body, frame, -half, half);
    return region.size() >= 3 && holds_wood(board, region);
}

void notch_round_obstacles(const std::vector<Obstacle>& all, const Cabinet& cabinet, Board& brace)
{
    const double half = brace.thickness() / 2;
    std::map<std::pair<int, int>, Polygon> found; // of each opening: its hole and what sits in it
    for (const Obstacle& obstacle : all) {
        if (!meets_wood(obstacle.body, brace)) continue;
        Polygon& points = found[{obstacle.board, obstacle.opening}];
        const Polygon region = footprint(obstacle.body, brace.frame, -half, half);
        points.insert(points.end(), region.begin(), region.end());
    }
    for (const auto& [place, points] : found) {
        const Board& own = cabinet.board(place.first);
        const std::string& name = own.openings.at(static_cast<std::size_t>(place.second)).name;
        const Polygon notch = notch_round(points, brace, own);
        EdgedPolygon shape{brace.outline, {}};
        for (const std::optional<int>& other : brace.edge_on) shape.edge_on.push_back(other.value_or(-1));
        const std::optional<EdgedPolygon> rest = notched(shape, notch, -1);
        if (!rest)
            throw InputError(brace.where, "braces." + brace.name + ".notched",
                             "no notch from its edge lets '" + name + "' of '" + own.name +
                                 "' through: it would cut the plate in two or passes through its middle; give it a "
                                 "window or a limit there, or move it");
        brace.outline = rest->corners;
        brace.edge_on.clear();
        for (const int other : rest->edge_on) brace.edge_on.push_back(other < 0 ? std::nullopt : std::optional(other));
        brace.notches.push_back(notch);
    }
}

} // namespace stillwall
