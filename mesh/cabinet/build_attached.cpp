#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/names.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

constexpr double rod_reach = 5e-3; // [m] farthest a rod's end may lie from a mid-plane of a thin board
constexpr double shortest = 5e-3;  // [m] shorter rods and ribs are slips of the pen

bool is_on(const Polygon& outline, const Vector2d& point)
{
    return contains(outline, point) || distance_to_boundary(outline, point) < 1e-6;
}

const Opening* opening_at(const Board& board, const Vector2d& from, const Vector2d& to)
{
    for (const Opening& opening : board.openings) {
        if (land_to_segment(opening, from, to) <= 0) return &opening;
    }
    return nullptr;
}

void check_section(std::optional<double> diameter, double width, double height, const SourcePos& where,
                   const std::string& key)
{
    const bool is_round = diameter && *diameter > 0 && std::isfinite(*diameter);
    const bool is_bar = !diameter && width > 0 && height > 0 && std::isfinite(width + height);
    if (is_round || is_bar) return;
    throw InputError(where, key, "needs a diameter, or width and height, greater than 0");
}

struct RodEnd
{
    int board = 0;
    Vector3d point = Vector3d::Zero();
};

RodEnd snap(const Cabinet& cabinet, const Vector3d& end, const RodPlan& rod, const char* which)
{
    const std::string key = "rods." + rod.name + "." + which;
    if (!end.allFinite()) throw InputError(rod.where, key, "is not a point");
    std::optional<RodEnd> best;
    double best_distance = 0, least_distance = 1e9;
    std::string nearest;
    for (std::size_t i = 0; i < cabinet.boards.size(); ++i) {
        const Board& board = cabinet.boards[i];
        const Vector2d foot = board.frame.to_board(end);
        const double height = std::abs(board.frame.height_of(end));
        const bool is_over = is_on(board.outline, foot);
        const double distance = is_over ? height : std::hypot(height, distance_to_boundary(board.outline, foot));
        if (distance < least_distance) {
            least_distance = distance;
            nearest = board.name;
        }
        if (!is_over || height > std::max(board.thickness(), rod_reach)) continue;
        if (!best || height < best_distance) {
            best_distance = height;
            best = RodEnd{static_cast<int>(i), board.frame.to_space(foot)};
        }
    }
    if (!best)
        throw InputError(rod.where, key,
                         "ends on no board; '" + nearest + "' is nearest, its middle is " + in_mm(least_distance) +
                             " away");
    const Board& board = cabinet.boards[static_cast<std::size_t>(best->board)];
    const Vector2d foot = board.frame.to_board(best->point);
    if (const Opening* hole = opening_at(board, foot, foot))
        throw InputError(rod.where, key, "ends in the opening '" + hole->name + "' of '" + board.name + "'");
    return *best;
}

// The two coordinates of a foot, by the board's own pair.
BoardPoint foot_point(const Cabinet& cabinet, int board, const Vector2d& pair)
{
    const Frame& frame = cabinet.boards[static_cast<std::size_t>(board)].frame;
    const bool is_wall = board < count_outline_walls(cabinet.boards);
    const auto is_square_to = [&](int axis) { return std::abs(frame.n(axis)) > 1 - 1e-12; };
    BoardPoint point;
    if (is_wall) {
        const bool is_along_x = std::abs(frame.e1.x()) >= std::abs(frame.e1.y());
        (is_along_x ? point.x : point.y) = pair.x();
        point.z = pair.y();
    } else if (is_square_to(0)) {
        point.y = pair.x();
        point.z = pair.y();
    } else if (is_square_to(1)) {
        point.x = pair.x();
        point.z = pair.y();
    } else {
        point.x = pair.x();
        point.y = pair.y();
    }
    return point;
}

// A foot may stand under a neighbour's end grain, outside the mid-surface model: it is moved to the
// model's edge.
Vector2d foot_on_model(const Cabinet& cabinet, int board, const Vector2d& foot, const SupportPlan& plan)
{
    const Board& b = cabinet.boards[static_cast<std::size_t>(board)];
    const std::string key = "supports." + plan.name + ".points";
    if (!foot.allFinite()) throw InputError(plan.where, key, "holds a coordinate that is not a number");
    if (const Opening* hole = opening_at(b, foot, foot))
        throw InputError(plan.where, key, "a foot stands in the opening '" + hole->name + "' of '" + b.name + "'");
    if (is_on(b.outline, foot)) return foot;
    double reach = 0;
    for (const std::optional<int> other : b.edge_on) {
        if (other) reach = std::max(reach, cabinet.board(*other).thickness() / 2);
    }
    const double distance = distance_to_boundary(b.outline, foot);
    // Over a square corner the distance to the model's corner is √2 times the reach.
    if (distance > std::sqrt(2.0) * reach + 1e-6)
        throw InputError(plan.where, key, "a foot stands " + in_mm(distance) + " off '" + b.name + "'");
    return nearest_on_boundary(b.outline, foot);
}

} // namespace

void add_rods(const CabinetPlan& plan, Cabinet& cabinet)
{
    for (const RodPlan& item : plan.rods) {
        const std::string key = "rods." + item.name;
        check_section(item.diameter, item.width, item.height, item.where, key);
        const RodEnd from = snap(cabinet, item.from, item, "from"), to = snap(cabinet, item.to, item, "to");
        if (from.board == to.board) {
            throw InputError(item.where, key,
                             "both ends lie on '" + cabinet.boards[static_cast<std::size_t>(from.board)].name +
                                 "'; a bar along a board is a rib");
        }
        if ((to.point - from.point).norm() < shortest)
            throw InputError(item.where, key, "is shorter than " + in_mm(shortest));
        cabinet.rods.push_back({item, from.point, to.point, from.board, to.board});
    }
}

void add_ribs(const CabinetPlan& plan, Cabinet& cabinet)
{
    for (const RibPlan& item : plan.ribs) {
        const std::string key = "ribs." + item.name;
        const int index = find_board(cabinet, item.board, item.where, key + ".board");
        const Board& board = cabinet.boards[static_cast<std::size_t>(index)];
        check_section({}, item.width, item.height, item.where, key);
        Rib rib{item};
        rib.board = index;
        rib.from = point_on_board(cabinet, index, {item.x1, item.y1, item.z1, item.along1}, item.where, key + ".from");
        rib.to = point_on_board(cabinet, index, {item.x2, item.y2, item.z2, item.along2}, item.where, key + ".to");
        for (const auto& [end, which] : {std::pair{rib.from, ".from"}, std::pair{rib.to, ".to"}}) {
            if (is_on(board.outline, end)) continue;
            throw InputError(item.where, key + which,
                             "lies " + in_mm(distance_to_boundary(board.outline, end)) + " off '" + board.name + "'");
        }
        const double length = (rib.to - rib.from).norm();
        if (length < shortest) throw InputError(item.where, key, "is shorter than " + in_mm(shortest));
        const std::vector<Interval> inside = line_inside(board.outline, rib.from, (rib.to - rib.from) / length, true);
        double covered = 0;
        for (const Interval& part : common(inside, {{0.0, length}})) covered += part.second - part.first;
        if (covered < length - 1e-6) throw InputError(item.where, key, "leaves '" + board.name + "' between its ends");
        if (const Opening* hole = opening_at(board, rib.from, rib.to))
            throw InputError(item.where, key, "runs across the opening '" + hole->name + "' of '" + board.name + "'");
        rib.side = item.inside ? -1 : 1;
        cabinet.ribs.push_back(std::move(rib));
    }
}

void add_masses(const CabinetPlan& plan, Cabinet& cabinet)
{
    for (const MassPlan& item : plan.masses) {
        const std::string key = "masses." + item.name;
        PointMass mass{item};
        mass.board = find_board(cabinet, item.board, item.where, key + ".board");
        const Board& board = cabinet.board(mass.board);
        if (!(item.mass > 0) || !std::isfinite(item.mass))
            throw InputError(item.where, key + ".mass", "must be above 0");
        mass.at = point_on_board(cabinet, mass.board, {item.x, item.y, item.z, item.along}, item.where, key + ".at");
        const Vector2d half(item.width / 2, item.height / 2);
        for (const Vector2d& sign :
             {Vector2d(0, 0), Vector2d(-1, -1), Vector2d(1, -1), Vector2d(1, 1), Vector2d(-1, 1)}) {
            const Vector2d p = mass.at + sign.cwiseProduct(half);
            if (!is_on(board.outline, p))
                throw InputError(item.where, key + ".at",
                                 "reaches " + in_mm(distance_to_boundary(board.outline, p)) + " off '" + board.name +
                                     "'; move it in");
            if (const Opening* hole = opening_at(board, mass.at, p))
                throw InputError(item.where, key + ".at",
                                 "lies over the opening '" + hole->name + "' of '" + board.name + "'; move it aside");
        }
        cabinet.masses.push_back(mass);
    }
}

void add_supports(const CabinetPlan& plan, Cabinet& cabinet)
{
    for (const SupportPlan& item : plan.supports) {
        const std::string key = "supports." + item.name;
        Support support{item};
        support.board = find_board(cabinet, item.board, item.where, key + ".board");
        if (item.is_clamped_edge) {
            support.neighbour = find_board(cabinet, item.neighbour, item.where, key + ".edge");
            const bool do_meet =
                std::any_of(cabinet.junctions.begin(), cabinet.junctions.end(), [&](const Junction& j) {
                    return (j.passing == support.board && j.ending == support.neighbour) ||
                           (j.passing == support.neighbour && j.ending == support.board);
                });
            if (!do_meet)
                throw InputError(item.where, key + ".edge",
                                 "'" + item.board + "' and '" + item.neighbour + "' do not meet");
        } else {
            if (item.points.empty()) throw InputError(item.where, key + ".points", "needs at least one foot");
            if (item.static_deflection && !(*item.static_deflection > 0))
                throw InputError(item.where, key + ".static_deflection",
                                 "must be above 0, got " + in_mm(*item.static_deflection));
            const bool has_stiffness = item.stiffness.minCoeff() >= 0 && item.stiffness.maxCoeff() > 0;
            if (!has_stiffness && !item.static_deflection)
                throw InputError(item.where, key + ".stiffness", "must be 0 or more along each axis and not all 0");
        }
        for (const Vector2d& pair : item.points) {
            const BoardPoint point = foot_point(cabinet, support.board, pair);
            const Vector2d foot = point_on_board(cabinet, support.board, point, item.where, key + ".points");
            support.points.push_back(foot_on_model(cabinet, support.board, foot, item));
        }
        cabinet.supports.push_back(std::move(support));
    }
}

} // namespace stillwall
