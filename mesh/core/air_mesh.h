#pragma once
// A mesh of the air inside a cabinet: ten-node tetrahedra (tet10.h) and the six-node triangles of its boundary.

#include "mesh/cabinet/cabinet.h"
#include "mesh/core/tet10.h"

#include <array>
#include <vector>

namespace stillwall {

struct AirMesh
{
    Eigen::Matrix3Xd nodes;                ///< [m], shape (3, n_nodes)
    std::vector<std::array<int, 10>> tets; ///< node order of tet10.h; positive volume
    std::vector<int> chamber;              ///< per tetrahedron: 0 … n_chambers − 1
    int n_chambers = 0;                    ///< parts of the air that boards close off from each other

    /// A triangle of the boundary, with what lies behind it.
    ///
    ///          2           corners 0-2 anticlockwise seen from the solid, so that their normal points out of the
    ///         5 4          air; mid-edges 3: 0-1, 4: 1-2, 5: 2-0
    ///        0-3-1
    struct Face
    {
        enum class On
        {
            Board, ///< wood of `board`: its `side`, or an edge (of a window: with `opening`)
            Hole,  ///< a hole of `board` closed flush with the face or the layer on it, by its insert or by nothing
            Body,  ///< the insert's body in the air
            Mouth, ///< inner end of a port: the end of its body, or the hole itself when its volume is 0
            Layer, ///< a layer on the face `side` of `board` (0: its edge); `item` indexes Cabinet::layers
            Rod,   ///< `item` indexes Cabinet::rods
            Rib    ///< `item` indexes Cabinet::ribs, `board` carries it
        };
        std::array<int, 6> node{};
        On on = On::Board;
        int board = -1;   ///< index into Cabinet::boards
        int side = 0;     ///< On::Board, Hole: −1 the −n face (the inner face of a wall), +1 the +n face, 0 an edge
        int opening = -1; ///< index into Board::openings of `board`
        int item = -1;    ///< see On
    };
    std::vector<Face> faces;

    [[nodiscard]] int n_nodes() const { return static_cast<int>(nodes.cols()); }
};

/// Volume of the elements [m³]. Exact for straight sides.
[[nodiscard]] double volume(const AirMesh& mesh);

/// Area vector of a face [m²], ∫ n dA with n pointing out of the air. Exact for straight sides and flat curved ones.
[[nodiscard]] Vector3d area_vector(const AirMesh& mesh, const AirMesh::Face& face);

/// Area of a face [m²], curved as it is; exact for flat ones.
[[nodiscard]] double area(const AirMesh& mesh, const AirMesh::Face& face);

/// Least and greatest det J over the rule's points and the corners, as min/max: 1 for straight sides, ≤ 0 when the
/// element folds over.
[[nodiscard]] double jacobian_ratio(const AirMesh& mesh, const std::array<int, 10>& tet);

/// Shape of the straight tetrahedron: 6√2 volume / (root mean square edge)³, 1 for the regular one, 0 when flat.
[[nodiscard]] double shape(const AirMesh& mesh, const std::array<int, 10>& tet);

} // namespace stillwall
