#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

// The cabinet axis (0 x, 1 y, 2 z) square to the board, if there is one.
std::optional<int> normal_axis(const Frame& frame)
{
    for (const int axis : {0, 1, 2}) {
        if (std::abs(frame.n(axis)) > 1 - 1e-12) return axis;
    }
    return std::nullopt;
}

std::string given(const BoardPoint& point)
{
    std::string text;
    const auto add = [&](const std::optional<double>& value, const char* name) {
        if (value) text += (text.empty() ? "" : " and ") + std::string(name);
    };
    add(point.x, "x");
    add(point.y, "y");
    add(point.z, "z");
    add(point.along, "along");
    return text.empty() ? "nothing" : text;
}

Vector2d point_on_upright_wall(const Board& wall, const BoardPoint& point, const SourcePos& where, std::string_view key)
{
    const bool is_along_x = std::abs(wall.frame.e1.x()) >= std::abs(wall.frame.e1.y());
    const std::optional<double>&level = is_along_x ? point.x : point.y, &wrong = is_along_x ? point.y : point.x;
    if (wrong || !point.z || level.has_value() == point.along.has_value()) {
        const std::string axis = is_along_x ? "x" : "y";
        throw InputError(where, key,
                         "a point on '" + wall.name + "' needs " + axis + " and z (or along and z), got " +
                             given(point));
    }
    if (point.along) return {*point.along, *point.z};
    // The frame's origin lies on the mid-plane behind the outer face's first corner.
    const Vector3d corner = wall.frame.origin + wall.thickness() / 2 * wall.frame.n;
    return {is_along_x ? (*level - corner.x()) / wall.frame.e1.x() : (*level - corner.y()) / wall.frame.e1.y(),
            *point.z};
}

void check_shape(const OpeningPlan& plan, const std::string& key)
{
    using Shape = OpeningPlan::Shape;
    const bool is_circle = plan.shape == Shape::Circle;
    if (!(plan.width > 0) || !std::isfinite(plan.width)) {
        throw InputError(plan.where, key + (is_circle ? ".diameter" : ".width"),
                         "must be greater than 0, got " + in_mm(plan.width));
    }
    if (is_circle) return;
    if (!(plan.height > 0) || !std::isfinite(plan.height))
        throw InputError(plan.where, key + ".height", "must be greater than 0, got " + in_mm(plan.height));
    if (plan.shape != Shape::RoundedRectangle) return;
    const double largest = std::min(plan.width, plan.height) / 2;
    if (!(plan.corner_radius > 0) || plan.corner_radius > largest * (1 + 1e-12)) {
        throw InputError(plan.where, key + ".corner_radius",
                         "must be greater than 0 and at most " + in_mm(largest) + " (half the shorter side), got " +
                             in_mm(plan.corner_radius));
    }
}

void check_place(const Board& board, const Opening& opening, const std::string& key)
{
    const Vector2d room = bounds(board.sawn).size();
    const Bounds2 hole = bounds(opening_outline(opening, 256));
    if (hole.size().x() >= room.x() || hole.size().y() >= room.y()) {
        throw InputError(opening.where, key,
                         "is larger than '" + board.name + "': " + in_mm(hole.size().x()) + " x " +
                             in_mm(hole.size().y()) + " in a board of " + in_mm(room.x()) + " x " + in_mm(room.y()));
    }
    const double land = land_inside(board.sawn, opening);
    const auto rounded_up = [](double way) { return in_mm(std::ceil(way * 1e4 - 1e-6) / 1e4); };
    if (!contains(board.sawn, opening.centre)) {
        throw InputError(opening.where, key,
                         "its centre lies outside '" + board.name + "', which is " + in_mm(room.x()) + " x " +
                             in_mm(room.y()) + " when sawn");
    }
    if (land <= 0)
        throw InputError(opening.where, key,
                         "cuts the edge of '" + board.name + "' by " + in_mm(-land) +
                             "; move it in or make it smaller");
    if (land < least_land) {
        throw InputError(opening.where, key,
                         "leaves " + in_mm(land) + " to the edge of '" + board.name + "', at least " +
                             in_mm(least_land) + " is needed");
    }
    const double inner_land = land_inside(board.outline, opening);
    if (inner_land < least_land) {
        throw InputError(opening.where, key,
                         "reaches too far over the end of a neighbour of '" + board.name + "': it must stay " +
                             in_mm(least_land) +
                             " inside the middle of the neighbour's thickness, where the corner's " +
                             "stiffness is modelled; move it in by " + rounded_up(least_land - inner_land));
    }
}

void check_neighbours(const Board& board, const Opening& opening, const std::string& key)
{
    for (const Opening& other : board.openings) {
        const double land = land_between(opening, other);
        if (land >= least_land) continue;
        const std::string state = land < -1e-9  ? "overlaps '" + other.name + "' by " + in_mm(-land)
                                  : land < 1e-6 ? "touches '" + other.name + "'"
                                                : "leaves only " + in_mm(land) + " to '" + other.name + "'";
        throw InputError(opening.where, key,
                         state + " on '" + board.name + "'; at least " + in_mm(least_land) +
                             " must stand between holes");
    }
}

} // namespace

Vector2d point_on_board(const Cabinet& cabinet, int board, const BoardPoint& point, const SourcePos& where,
                        std::string_view key)
{
    const Board& b = cabinet.board(board);
    if (board < count_outline_walls(cabinet.boards)) return point_on_upright_wall(b, point, where, key);
    const std::optional<int> across = normal_axis(b.frame);
    const std::array<const std::optional<double>*, 3> coordinates{&point.x, &point.y, &point.z};
    const std::array<const char*, 3> names{"x", "y", "z"};
    const std::size_t omitted = across ? static_cast<std::size_t>(*across) : 2; // a slanted plate: own x and y
    Vector3d place = b.frame.origin;
    bool is_right = !point.along;
    std::string needed;
    for (std::size_t i = 0; i < 3; ++i) {
        if (i == omitted) {
            is_right = is_right && !*coordinates[i];
            continue;
        }
        needed += (needed.empty() ? "" : " and ") + std::string(names[i]);
        if (*coordinates[i])
            place(static_cast<int>(i)) = **coordinates[i];
        else
            is_right = false;
    }
    if (!is_right) {
        throw InputError(where, key,
                         "a point on '" + b.name + "' needs " + needed +
                             (across ? "" : " (along the slanted plate, from its middle)") + ", got " + given(point));
    }
    return across ? b.frame.to_board(place) : Vector2d(*point.x, *point.y);
}

void add_openings(const CabinetPlan& plan, Cabinet& cabinet, Board::Kind kind)
{
    for (const OpeningPlan& item : plan.openings) {
        const auto known = cabinet.board_index(item.board);
        if ((known ? cabinet.board(*known).kind : Board::Kind::Brace) != kind) continue;
        const std::string key = "openings." + item.name;
        const int index = find_board(cabinet, item.board, item.where, key + ".board");
        Board& board = cabinet.boards[static_cast<std::size_t>(index)];
        check_shape(item, key);
        Opening opening{item};
        if (item.shape == OpeningPlan::Shape::Circle) opening.height = item.width;
        const BoardPoint point{item.x, item.y, item.z, item.along};
        const bool has_place = item.x || item.y || item.z || item.along;
        opening.centre = board.kind == Board::Kind::Brace && !has_place
                             ? bounds(board.sawn).middle()
                             : point_on_board(cabinet, index, point, item.where, key);
        check_place(board, opening, key);
        check_neighbours(board, opening, key);
        board.openings.push_back(std::move(opening));
    }
}

} // namespace stillwall
