#pragma once
// The corners of a prism's outline, and the arcs between them.

#include "app/input/internal/yaml_node.h"

#include <Eigen/Core>

#include <vector>

namespace stillwall::app {

struct WrittenCorner
{
    Eigen::Vector2d at = Eigen::Vector2d::Zero(); ///< [m]
    double radius = 0; ///< [m] of the wall to the next corner, > 0 bulging outwards; 0: not given
    double bulge = 0;  ///< [m] of its middle off the straight line, > 0 outwards; 0: not given
    YamlNode node;
};

/// A corner is `[x, y]`, or `{at: [x, y], radius: …}` or `{at: [x, y], bulge: …}` where a curved wall begins.
[[nodiscard]] std::vector<WrittenCorner> read_corners(const YamlNode& outline, std::size_t most);

/// [m] by which the wall from a corner to the next bulges; 0: flat.
/// @throws InputError when the radius is too small to reach it, or the wall bulges by more than half a circle
[[nodiscard]] double bulge_of(const WrittenCorner& corner, const WrittenCorner& next);

} // namespace stillwall::app
