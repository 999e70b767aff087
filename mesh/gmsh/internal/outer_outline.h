#pragma once
// The holes of a wall as they are closed flush with its outer face: polygons that keep the area of what they stand for.

#include "mesh/cabinet/opening.h"
#include "mesh/core/outer_mesh.h"
#include "mesh/gmsh/outer_mesher.h"

#include <array>

namespace stillwall::mesh {

/// A closed polygon in a board's frame, anticlockwise.
struct Ring
{
    Polygon points;              ///< [m]
    std::array<int, 4> corner{}; ///< ascending places in `points`; opposite pieces between them have as many sides
};

/// How one hole is closed.
struct Closure
{
    int opening = 0;
    OuterMesh::Face::On on = OuterMesh::Face::On::Source; ///< the whole; with a cone: what lies round it
    Ring rim;
    Ring cone;             ///< Source inside the rim; empty: none
    bool is_scaled = true; ///< the cone's ring is the rim, made smaller about the hole's centre
};

/// @param face  corners of the board's outer face in its frame [m]
/// @throws MeshError  a hole does not lie in the outer face
[[nodiscard]] std::vector<Closure> closures(const Board& board, const Polygon& face, const OuterMeshOptions& options);

} // namespace stillwall::mesh
