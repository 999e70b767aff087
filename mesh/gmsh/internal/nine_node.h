#pragma once
// From the mesh of corners to the shell mesh: mid-side and centre nodes, zones, rims, ribs, clamped edges.

#include "mesh/core/shell_mesh.h"
#include "mesh/gmsh/internal/corner_mesh.h"

namespace stillwall::mesh {

[[nodiscard]] ShellMesh raise_order(const CornerMesh& corners, const Drawing& drawing, const Cabinet& cabinet,
                                    const Layout& layout);

/// Holds the finished mesh against the drawing and the description.
/// @throws MeshError naming the board: an area or free-edge length that disagrees, a junction whose boards do not
///         share nodes, a board that hangs loose
void check(const ShellMesh& mesh, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout,
           const Sizes& sizes);

} // namespace stillwall::mesh
