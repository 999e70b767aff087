#pragma once
// Cabinet → ShellMesh: the boards drawn as shared edges and faces, four-sided faces as grids, the rest by Gmsh or by
// splitting.

#include "mesh/core/shell_mesh.h"

#include <vector>

namespace stillwall::mesh {

struct MeshOptions
{
    double element_size = 0.04;   ///< [m] side of a nine-node quadrilateral, > 0
    std::vector<double> factor{}; ///< [board] on that size, over 0 … 1; empty: 1 everywhere
};

/// Meshes all mid-surfaces so that junctions share nodes, with the overlap strips of the junctions
/// as rows of their own. All elements are quadrilaterals; rims have their nodes on the curve. Where an element comes
/// out badly the sides around it, and then the whole, are made finer. A board of its own size hands it on to what
/// shares its sides. The same cabinet gives the same mesh bit for bit.
/// @throws MeshError when a face cannot be covered, when the mesh disagrees with the description in area, joints or
///         free edges, or when a board hangs loose.
/// Gmsh keeps global state: not to be called from two threads.
[[nodiscard]] ShellMesh mesh_shell(const Cabinet& cabinet, const MeshOptions& options);

} // namespace stillwall::mesh
