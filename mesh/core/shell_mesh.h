#pragma once
// A shell mesh on the mid-surfaces: nine-node quadrilaterals.
//
//      3────6────2        s
//      │         │        ↑
//      7    8    5        └─→ r        corners 0-3 anticlockwise about +n of the board,
//      │         │                     mid-sides 4-7, centre 8
//      0────4────1

#include "mesh/cabinet/cabinet.h"

#include <array>
#include <vector>

namespace stillwall {

struct ShellMesh
{
    Eigen::Matrix3Xd nodes; ///< [m], shape (3, n_nodes)

    struct Quad
    {
        std::array<int, 9> node{};
        int board = 0; ///< index into Cabinet::boards
        int zone = 0;  ///< index into zones
    };
    std::vector<Quad> quads;

    /// Elements with the same section: same board, same set of overlap strips.
    struct Zone
    {
        int board = 0;
        /// Junctions in whose overlap strip the zone lies (index into Cabinet::junctions) .
        std::vector<int> strips;
    };
    std::vector<Zone> zones;

    /// Nodes on the rim of each opening with an insert, ordered along the rim: [board][opening].
    std::vector<std::vector<std::vector<int>>> rims;
    /// Three-node edges (end, middle, end) along each rib.
    std::vector<std::vector<std::array<int, 3>>> rib_edges;
    /// Nodes on the clamped edge of each support (empty for springs).
    std::vector<std::vector<int>> clamped_nodes;

    [[nodiscard]] int n_nodes() const { return static_cast<int>(nodes.cols()); }
};

/// Size and shape of a mesh, for the report and for tests.
struct MeshQuality
{
    double min_scaled_jacobian = 0; ///< over elements, min |J| / max |J| at the nine nodes, 1 = parallelogram
    double area = 0;                ///< [m²]
    double free_edge_length = 0;    ///< [m] of element sides used once
};

/// min J / max |J| at the nine nodes; 1 for a parallelogram, negative when the element folds over.
[[nodiscard]] double scaled_jacobian(const ShellMesh& mesh, const ShellMesh::Quad& quad);

/// Area of one element [m²].
[[nodiscard]] double area(const ShellMesh& mesh, const ShellMesh::Quad& quad);

[[nodiscard]] MeshQuality mesh_quality(const ShellMesh& mesh);

} // namespace stillwall
