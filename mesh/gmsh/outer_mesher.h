#pragma once
// Cabinet → OuterMesh: the outer faces of the walls with their holes closed flush, in flat facets.

#include "mesh/core/outer_mesh.h"

namespace stillwall::mesh {

struct OuterMeshOptions
{
    double element_size = 0.05; ///< [m] edge in the open, 2 mm … 10 m
    int per_circle = 12;        ///< 8 … 400, least facets round a cone or mouth; the polygon keeps the circle's area
    /// [m] edge beside a cone or mouth, where the pressure is steep; grows to element_size away from it. 0:
    /// element_size (or what per_circle asks for); else 2 mm … 10 m
    double source_size = 0;
};

/// The boards' true outer surface (not mid-planes): quadrilaterals where the mesher finds them, triangles elsewhere. A
/// hole with a driver whose cone (a circle of area Sd) is smaller than the hole carries the cone's disc in its middle
/// as Source and the ring round it as Insert; a larger cone, a port's mouth and a hole without insert are Source as a
/// whole; a flared port's mouth is widened by its flare where the board has room. Plates and drivers without
/// small-signal figures are Insert as a whole. A cone inside its hole has the area Sd exactly: a ring narrower than 2 %
/// of the hole's half-width goes to the board, and in a hole that is not round the cone is a circle where that fits,
/// else the hole's outline made smaller. The same cabinet gives the same mesh bit for bit.
/// @throws MeshError
/// Gmsh keeps global state: not to be called from two threads.
[[nodiscard]] OuterMesh mesh_outer(const Cabinet& cabinet, const OuterMeshOptions& options);

} // namespace stillwall::mesh
