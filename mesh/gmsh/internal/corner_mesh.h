#pragma once
// The mesh of corners, before mid-side nodes: edges divided, blocks filled with grids, other faces by Gmsh.

#include "mesh/gmsh/internal/counts.h"

namespace stillwall::mesh {

struct CornerMesh
{
    std::vector<Vector3d> nodes; ///< the drawing's vertices first
    struct Quad
    {
        std::array<int, 4> node{};
        int face = 0;
    };
    std::vector<Quad> quads; ///< anticlockwise about the board's n
    std::vector<std::vector<int>> edge_nodes; ///< [edge] from v[0] to v[1], ends included; empty when unused

    /// Nodes along a half edge, in its direction.
    [[nodiscard]] std::vector<int> along(HalfEdge h) const;
};

/// @throws MeshError when a face cannot be filled with quadrilaterals
[[nodiscard]] CornerMesh mesh_corners(const Drawing& drawing, const Cabinet& cabinet, const Counts& counts);

/// Fills the faces that are no blocks, by Gmsh or by splitting, whichever comes out better.
/// @throws MeshError when neither can fill a face
void fill_free_faces(CornerMesh& mesh, const Drawing& drawing, const Cabinet& cabinet, const std::vector<int>& faces);

} // namespace stillwall::mesh
