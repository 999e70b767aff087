#pragma once
// How much of a mesh's elements a region covers.

#include "mesh/cabinet/polygon.h"
#include "mesh/core/shell_mesh.h"

#include <array>

namespace stillwall {

/// Shares [0, 1] of the nine cells of an element that a region covers. Cell 3 j + i holds the integration point with
/// (r_i, s_j), r, s ∈ {−√0.6, 0, √0.6}; the cells' borders lie at r, s = ±4/9, so that a cell's size is its Gauss
/// weight.
using Cover = std::array<double, 9>;

/// Cover of one element by a polygon given in its board's frame: covered area of each cell over the cell's area. All 0
/// or all 1 exactly when no side of the polygon comes near the element. A curved side counts as six chords; straight
/// ones are exact, so the shares change smoothly when mesh or region move a little. Elements in the strips of joints
/// count as covered where the polygon covers the board just beyond the strip: the strip's law stands for what happens
/// there. So a point of the strip is looked up one strip's width further from the junction's line, and in a corner,
/// where strips cross, one width further from each.
[[nodiscard]] Cover cover_of(const Cabinet& cabinet, const ShellMesh& mesh, const ShellMesh::Quad& quad,
                             const Polygon& region);

} // namespace stillwall
