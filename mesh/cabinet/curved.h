#pragma once
// Points on curved boards.

#include "mesh/cabinet/cabinet.h"

#include <span>

namespace stillwall {

/// A point of the flat facets as it lies on the true mid-surfaces: moved by the least way onto all curved boards of a
/// list, while it stays in the planes of the flat ones.
/// @param boards  of the cabinet, those on whose mid-surfaces the point lies
[[nodiscard]] Vector3d on_mid_surfaces(const Cabinet& cabinet, const Vector3d& point, std::span<const int> boards);

/// Where an arc over a side of the outline reaches farthest along x and y; its ends are not among them.
[[nodiscard]] std::vector<Vector2d> arc_extremes(const Vector2d& from, const Vector2d& to, double bulge);

} // namespace stillwall
