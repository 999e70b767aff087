#pragma once
// The outer surface cut into regions with divided edges, shared by the regions that meet in them.

#include "mesh/cabinet/build_hull.h"
#include "mesh/gmsh/internal/outer_outline.h"

#include <vector>

namespace stillwall::mesh {

/// Wanted lengths of sides: short beside cones and mouths, growing with the distance from them.
class OuterSizes
{
public:
    explicit OuterSizes(double element_size) : element_size_(element_size) {}
    /// A ring of the board's outer face, or any closed line: there the size is that of its sides.
    void add(const std::vector<Vector3d>& ring);
    [[nodiscard]] double at(const Vector3d& p) const; ///< [m]

private:
    struct Side
    {
        Vector3d from, way;
        double size;
    };
    std::vector<Side> sides_;
    double element_size_;
};

/// A plane region of one kind.
struct OuterRegion
{
    int board = 0;
    int opening = -1;
    OuterMesh::Face::On on = OuterMesh::Face::On::Board;
    /// Vertices: the outer loop anticlockwise seen from outside, then holes clockwise.
    std::vector<std::vector<int>> loops;
    /// Places in the outer loop at which its four pieces start; −1: it has no four pieces.
    std::array<int, 4> corner{-1, -1, -1, -1};
    bool is_ring = false; ///< two loops with the same number of vertices, side against side
};

struct OuterLayout
{
    std::vector<Vector3d> vertices; ///< [m] of the regions' loops
    std::vector<OuterRegion> regions;
    OuterSizes sizes;
};

/// @throws MeshError
[[nodiscard]] OuterLayout lay_out(const Cabinet& cabinet, const OuterMeshOptions& options);

} // namespace stillwall::mesh
