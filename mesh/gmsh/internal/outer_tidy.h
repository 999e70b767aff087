#pragma once
// Fewer and better facets from a plane triangulation.

#include "mesh/gmsh/internal/outer_facets.h"

namespace stillwall::mesh {

/// Joins pairs of triangles to quadrilaterals where these are good, best pairs first, splits bad quadrilaterals and
/// moves inner vertices where that makes the worst facet around them better.
/// @param first_inner  vertices from this one on may be moved (in the plane)
void tidy(std::vector<Facet>& facets, int first_inner, const Vector3d& normal, std::vector<Vector3d>& vertices);

} // namespace stillwall::mesh
