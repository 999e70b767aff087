#pragma once
// Rings of four and six nodes, where splitting ends.

#include "mesh/gmsh/internal/patch.h"

namespace stillwall::mesh {

/// The best way to cover a ring of four or six nodes: one element; or two across a diagonal, three around an inner
/// node, or four around two. Points 0 to 3 or 5 are the ring's.
/// @param ring  anticlockwise
[[nodiscard]] Patch fill_small_ring(const std::vector<Vector2d>& ring);

} // namespace stillwall::mesh
