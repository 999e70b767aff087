#pragma once
// Facets of plane regions: regular ones where the boundary allows, Gmsh's elsewhere.

#include "mesh/gmsh/internal/outer_layout.h"

#include <optional>

namespace stillwall::mesh {

/// Corners as in OuterMesh::Face, anticlockwise.
using Facet = std::array<int, 4>;

/// Rows of quadrilaterals between four pieces of boundary, with triangles where opposite pieces have unlike numbers of
/// sides (one pair only), or one or more rounds of them between two rings. Nothing when the region is of neither kind,
/// or they come out badly.
/// @param vertices  gets the inner ones appended
[[nodiscard]] std::optional<std::vector<Facet>> regular_facets(const OuterRegion& region,
                                                               std::vector<Vector3d>& vertices);

/// Facets of all regions by Gmsh, which must be open (GmshSession): triangles, in pairs joined to quadrilaterals.
/// @param vertices  gets the inner ones appended
/// @returns one list per region
/// @throws MeshError
[[nodiscard]] std::vector<std::vector<Facet>> facets_by_gmsh(const Cabinet& cabinet,
                                                             const std::vector<const OuterRegion*>& regions,
                                                             const OuterSizes& sizes, std::vector<Vector3d>& vertices);

/// How good a facet is, from 0 (no area, or not convex) to 1 (equilateral, square).
[[nodiscard]] double goodness(const Facet& facet, const std::vector<Vector3d>& vertices, const Vector3d& normal);

} // namespace stillwall::mesh
