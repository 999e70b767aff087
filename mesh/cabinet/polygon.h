#pragma once
// Plane polygons: corners in order, anticlockwise unless said otherwise, closed from last to first.

#include <Eigen/Core>

#include <utility>
#include <vector>

namespace stillwall {

using Eigen::Vector2d;
using Polygon = std::vector<Vector2d>;

/// Area [m²], positive for an anticlockwise polygon.
[[nodiscard]] double signed_area(const Polygon& polygon);

struct Bounds2
{
    Vector2d low = Vector2d::Zero(), high = Vector2d::Zero();
    [[nodiscard]] Vector2d middle() const { return 0.5 * (low + high); }
    [[nodiscard]] Vector2d size() const { return high - low; }
};

[[nodiscard]] Bounds2 bounds(const Polygon& polygon);

/// Whether no two sides touch except neighbours at their common corner.
[[nodiscard]] bool is_simple(const Polygon& polygon);

/// Whether the point lies inside (even-odd rule; points on the boundary may go either way).
[[nodiscard]] bool contains(const Polygon& polygon, const Vector2d& point);

/// A point well inside the polygon.
[[nodiscard]] Vector2d interior_point(const Polygon& polygon);

/// Nearest point of the boundary.
[[nodiscard]] Vector2d nearest_on_boundary(const Polygon& polygon, const Vector2d& point);

/// Distance from a point to the boundary [m], ≥ 0.
[[nodiscard]] double distance_to_boundary(const Polygon& polygon, const Vector2d& point);

/// Distance between the segments ab and cd [m], 0 when they cross.
[[nodiscard]] double segment_distance(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d);

/// Whether the interiors of two polygons share area. Polygons that touch along sides do not overlap.
[[nodiscard]] bool overlap(const Polygon& a, const Polygon& b);

/// An interval of a line's parameter [m].
using Interval = std::pair<double, double>;

/// Parts of the line origin + t·direction that lie in the polygon, in increasing t. A line running
/// along a side counts as inside when `with_boundary`.
/// @param direction  unit vector
[[nodiscard]] std::vector<Interval> line_inside(const Polygon& polygon, const Vector2d& origin,
                                                const Vector2d& direction, bool with_boundary);

/// Common parts of two lists of intervals.
[[nodiscard]] std::vector<Interval> common(const std::vector<Interval>& a, const std::vector<Interval>& b);

/// `from` without the parts covered by `taken`.
[[nodiscard]] std::vector<Interval> without(const std::vector<Interval>& from, const std::vector<Interval>& taken);

/// A polygon whose sides remember what they lie on; side i runs from corner i to corner i + 1.
struct EdgedPolygon
{
    Polygon corners;
    std::vector<int> edge_on; ///< meaning chosen by the caller
};

/// The parts of a polygon (convex or not) with normal·p ≤ offset; new sides are marked `new_edge`.
/// @param normal  unit vector
[[nodiscard]] std::vector<EdgedPolygon> clip(const EdgedPolygon& polygon, const Vector2d& normal, double offset,
                                             int new_edge);

/// Drops sides of no length and joins neighbouring sides of one mark that lie in one line.
[[nodiscard]] EdgedPolygon tidied(const EdgedPolygon& polygon);

} // namespace stillwall
