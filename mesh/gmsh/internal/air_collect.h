#pragma once
// The meshed drawing of the air, fetched from Gmsh.

#include "mesh/gmsh/internal/air_tags.h"

#include <map>
#include <vector>

namespace stillwall::mesh {

/// Corners of a triangle, ascending.
using Corners = std::array<int, 3>;

[[nodiscard]] Corners corners_of(int a, int b, int c);

/// Elements, and what each triangle on the drawing's surfaces lies on; AirMesh::faces is still empty.
struct DrawnAir
{
    AirMesh mesh;
    std::map<Corners, AirMesh::Face> tags; ///< nodes left empty
};

/// From the open Gmsh model, meshed with ten-node tetrahedra.
/// @param volumes  tags of the air's volumes; each becomes a chamber
/// @throws MeshError when there are no elements or a surface lies on nothing known
[[nodiscard]] DrawnAir collect_air(const std::vector<int>& volumes, const AirTagger& tagger);

} // namespace stillwall::mesh
