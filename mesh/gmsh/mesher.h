#pragma once
// Cabinet → ShellMesh with Gmsh and OpenCASCADE.

#include "mesh/core/shell_mesh.h"

namespace stillwall::mesh {

struct MeshOptions
{
    double element_size = 0.04; ///< [m] side of a nine-node quadrilateral, > 0
};

/// Meshes all mid-surfaces so that junctions share nodes, with the overlap strips of the junctions
/// as rows of their own.
/// @throws MeshError when Gmsh fails, when a triangle is left, or when the free-edge length of the
///         mesh disagrees with the geometry (a brace that came loose).
/// Gmsh keeps global state: not to be called from two threads.
[[nodiscard]] ShellMesh mesh_shell(const Cabinet& cabinet, const MeshOptions& options);

} // namespace stillwall::mesh
