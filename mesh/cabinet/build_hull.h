#pragma once
// The closed shell of the walls as planes: outer, middle and inner hulls, and cuts through them.
// For mesh/core's own use.

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/polygon.h"

#include <array>

namespace stillwall {

/// The plane n·x = d.
struct Plane
{
    Vector3d n = Vector3d::UnitZ();
    double d = 0;
    [[nodiscard]] double height_of(const Vector3d& p) const { return n.dot(p) - d; }
};

/// The point common to three planes that are not parallel to one line.
[[nodiscard]] Vector3d meet(const Plane& a, const Plane& b, const Plane& c);

/// The board's mid-plane moved by `offset` [m] along its normal.
[[nodiscard]] Plane plane_of(const Board& board, double offset);

/// Walls in outline order, then top and bottom, as a closed body of planes.
struct Hull
{
    /// Which surface of the boards bounds the body.
    enum class Surface
    {
        Inner = -1,
        Middle = 0,
        Outer = 1
    };
    /// Corner k of the outline lies between walls k − 1 and k; [0] at the bottom, [1] at the top.
    std::vector<std::array<Vector3d, 2>> corners;
    int n_walls = 0;
    [[nodiscard]] int top() const { return n_walls; }
    [[nodiscard]] int bottom() const { return n_walls + 1; }
};

/// Number of walls of the outline among the cabinet's boards (top and bottom not counted).
[[nodiscard]] int count_outline_walls(const std::vector<Board>& boards);

[[nodiscard]] Hull make_hull(const std::vector<Board>& boards, Hull::Surface surface);

/// Corners of a face (wall, top or bottom) as places in Hull::corners, anticlockwise seen from outside.
[[nodiscard]] std::vector<std::array<int, 2>> face_corners(const Hull& hull, int face);

/// Least and greatest n·x of the hull's points [m].
/// @param n  unit vector
[[nodiscard]] Interval extent(const Hull& hull, const Vector3d& n);

/// Whether the point lies inside the hull; its top and bottom are level.
[[nodiscard]] bool contains(const Hull& hull, const Vector3d& p);

/// Volume inside a hull [m³]. Exact: between top and bottom the section's area is quadratic in height.
[[nodiscard]] double hull_volume(const Hull& hull);

/// The hull cut by the plane of `frame`: closed loops in the frame's coordinates, anticlockwise, each
/// side marked with the board it lies on.
/// @param touching_is_in  whether corners that lie in the plane count as on its +n side; the two
///        answers differ only when the plane runs along a wall of a re-entrant outline
[[nodiscard]] std::vector<EdgedPolygon> cut_hull(const Hull& hull, const Frame& frame, bool touching_is_in);

/// Corner points, in the board's frame, of a wall, top or bottom at height `s` [m] above its
/// mid-plane, when side i ends at the plane `ends[i]`.
[[nodiscard]] Polygon face_at(const Board& board, double s, const std::vector<Plane>& ends);

/// Whether the outline turns inwards (re-entrant corner) between walls k − 1 and k.
[[nodiscard]] bool is_reentrant(const std::vector<Board>& boards, int k);

/// Whether walls k − 1 and k meet so flatly that their ends are mitred: a lap would taper to a feather.
[[nodiscard]] bool is_mitred(const std::vector<Board>& boards, int k);

/// The plane at which `board`, one of two walls meeting in a corner, ends when sawn.
/// @param covers  whether `board` covers the end grain of `other`; without effect at a mitre
[[nodiscard]] Plane sawn_end(const std::vector<Board>& boards, int board, int other, bool covers);

} // namespace stillwall
