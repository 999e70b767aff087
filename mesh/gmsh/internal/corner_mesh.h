#pragma once
// The mesh of corners, before mid-side nodes: edges divided, blocks filled with grids, other faces by Gmsh.

#include "mesh/gmsh/internal/counts.h"
#include "mesh/gmsh/internal/patch.h"

namespace stillwall::mesh {

struct CornerMesh
{
    std::vector<Vector3d> nodes; ///< the drawing's vertices first
    struct Quad
    {
        std::array<int, 4> node{};
        int face = 0;
    };
    std::vector<Quad> quads;                  ///< anticlockwise about the board's n
    std::vector<int> unfilled;                ///< faces that could not be covered
    std::vector<std::vector<int>> edge_nodes; ///< [edge] from v[0] to v[1], ends included; empty when unused

    /// Nodes along a half edge, in its direction.
    [[nodiscard]] std::vector<int> along(HalfEdge h) const;
};

/// How faces were filled, for the next time: most of them stay as they are from one round of remedies to the next.
struct FilledFace
{
    bool thirds = false;
    std::vector<Vector2d> boundary;
    std::optional<Patch> patch;
};
using FilledFaces = std::map<int, FilledFace>;

[[nodiscard]] CornerMesh mesh_corners(const Drawing& drawing, const Counts& counts, const std::vector<Remedy>& remedies,
                                      FilledFaces& filled);

/// Fills the faces that are no blocks, by Gmsh or by splitting, whichever comes out better, or as their remedies ask.
void fill_free_faces(CornerMesh& mesh, const Drawing& drawing, const std::vector<int>& faces,
                     const std::vector<Remedy>& remedies, FilledFaces& filled);

} // namespace stillwall::mesh
