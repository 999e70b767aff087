#pragma once
// The outside of a cabinet as flat facets: where it touches the air outside.

#include "mesh/cabinet/cabinet.h"

#include <array>
#include <vector>

namespace stillwall {

struct OuterMesh
{
    /// Anticlockwise seen from outside, so that the normal points into the air.
    struct Face
    {
        enum class On
        {
            Board,  ///< wood of `board`
            Insert, ///< moves with the insert of `opening`: plate, basket rim beside the cone
            Source  ///< cone of a driver or passive radiator, mouth of a port or of a hole without insert
        };
        std::array<int, 4> corner{}; ///< −1 in the last place: a triangle
        On on = On::Board;
        int board = -1;   ///< index into Cabinet::boards: the wall in whose outer face it lies
        int opening = -1; ///< index into its openings; On::Insert, Source
    };
    std::vector<Vector3d> vertices; ///< [m]
    std::vector<Face> faces;        ///< closed, but for faces left out where it stands on a plane
};

/// Area vector of a face [m²]: its area times the unit normal into the air.
[[nodiscard]] Vector3d area_vector(const OuterMesh& mesh, const OuterMesh::Face& face);

} // namespace stillwall
