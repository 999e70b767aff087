#pragma once
// A plate on its way to a board: where its plane cuts the cabinet and what is cut off it. For
// mesh/core's own use.

#include "mesh/cabinet/build_hull.h"

namespace stillwall {

/// Mark of a side that lies on no board.
inline constexpr int free_edge = -1;

/// A straight cut through a plate: normal·p ≤ offset stays.
struct Cut
{
    Vector2d normal = Vector2d::UnitX();
    double offset = 0;       ///< [m]
    int edge_on = free_edge; ///< brace at which it ends
};

struct Plate
{
    const BracePlan* plan = nullptr;
    std::string key; ///< dotted path for messages
    Frame frame;
    std::vector<EdgedPolygon> sections; ///< of the hull of mid-planes
    std::vector<Cut> cuts;
    std::optional<Vector2d> reference; ///< a point of the part that is meant
    EdgedPolygon shape;                ///< that part, after the cuts
};

/// A plate cut by the walls and by its own limits.
/// @param middle  hull of the walls' mid-planes
/// @param outer   hull of their outer faces
/// @throws InputError when the plane misses the cabinet or the limits make no sense
[[nodiscard]] Plate make_plate(const BracePlan& plan, const std::vector<Board>& walls, const Hull& middle,
                               const Hull& outer);

/// All parts that the cuts leave. A limit that falls into a wall's thickness, or within a hair of its
/// inner face, is meant as "up to the wall" and cuts nothing.
[[nodiscard]] std::vector<EdgedPolygon> cut_parts(const Plate& plate, const std::vector<Board>& walls);

/// The part with the reference point, or nearest to it; without a reference the largest.
[[nodiscard]] EdgedPolygon meant_part(const std::vector<EdgedPolygon>& parts, const std::optional<Vector2d>& reference);

/// Whether the side ab of a plate lies on the board's mid-plane but for the board's thickness, over
/// the given outline of the board.
[[nodiscard]] bool is_side_at(const Frame& plate, const Vector2d& a, const Vector2d& b, const Board& board,
                              const Polygon& outline);

} // namespace stillwall
