#pragma once
// Hulls of points, and polygons cut into from their edge.

#include "mesh/cabinet/polygon.h"

#include <optional>

namespace stillwall {

/// Convex hull of points, anticlockwise; fewer than three corners when they lie in one line.
/// @source monotone chain: Andrew, Inf. Process. Lett. 9 (1979) 216
[[nodiscard]] Polygon convex_hull(Polygon points);

/// A polygon less a convex one that cuts into it from its edge; new sides are marked `new_edge`. Nothing when the
/// convex one does not enter it by exactly one stretch of its boundary, or leaves nothing: a hole, two cuts, or no cut.
[[nodiscard]] std::optional<EdgedPolygon> notched(const EdgedPolygon& polygon, const Polygon& convex, int new_edge);

} // namespace stillwall
