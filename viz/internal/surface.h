#pragma once
// The nine-node mesh cut into small flat pieces for drawing, and its shape in one mode.

#include "viz/picture.h"

#include <Eigen/Core>

#include <array>
#include <vector>

namespace stillwall::viz {

/// One side of a quad: side s runs from corner s to corner s + 1 (mod 4).
struct QuadSide
{
    int quad = 0;
    int side = 0;
};

/// A board as the drawings need it.
struct BoardShape
{
    Vector3d normal = Vector3d::UnitZ(); ///< positive displacement; walls: outwards, braces: towards right, front or up
    Vector3d right = Vector3d::UnitX(), up = Vector3d::UnitY(); ///< seen against the normal, right × up = normal
    Vector3d low = Vector3d::Zero(); ///< corner of the bounding rectangle (smallest right, up)
    double width = 0, height = 0;    ///< [m] of the bounding rectangle along right and up
    std::vector<int> quads;
    std::vector<QuadSide> rim;      ///< edges and hole rims: sides used once within the board
    std::vector<QuadSide> corners;  ///< the part of the rim shared with the rim of another board
    std::vector<QuadSide> contacts; ///< inner sides on which another board ends
    std::vector<QuadSide> ribs;     ///< sides along which a rib is glued
    bool is_brace = false;
};

/// The mesh prepared for drawing. Every quad becomes cuts × cuts pieces; point (i, j) of quad q, with
/// i along r and j along s, has the index q (cuts + 1)² + j (cuts + 1) + i.
struct Surface
{
    const ShellMesh* mesh = nullptr;
    int cuts = 2;
    Eigen::Matrix<double, 9, Eigen::Dynamic>
        weights; ///< shape functions at the points of a quad, shape (9, (cuts + 1)²)
    std::vector<BoardShape> boards;
    std::vector<std::array<int, 9>> slots; ///< per quad: number of the (board, node) pair, for averaging normals
    int n_slots = 0;
    double smallest_side = 0; ///< [m] of the bounding box; a flat mesh: of its rectangle
    Eigen::Matrix3Xd rest;    ///< points of the undeformed mesh, shape (3, n_points)

    [[nodiscard]] int points_per_quad() const { return (cuts + 1) * (cuts + 1); }
    [[nodiscard]] int n_points() const { return points_per_quad() * static_cast<int>(mesh->quads.size()); }
    /// Point k (0 to cuts) along a side.
    [[nodiscard]] int side_point(const QuadSide& side, int k) const;
};

/// One mode, ready to draw.
struct Shape
{
    Eigen::Matrix3Xd points;  ///< deformed [m], shape (3, n_points)
    Eigen::Matrix3Xd normals; ///< unit, of the deformed surface, shape (3, n_points)
    Eigen::VectorXd value; ///< displacement along the board's normal over the largest |displacement|, shape (n_points)
    std::vector<double> peak; ///< largest |value| of each board
    Eigen::Matrix3Xd nodes;   ///< deformed nodes [m], shape (3, n_nodes)
};

[[nodiscard]] Surface make_surface(const Scene& scene);

/// @param fraction  largest drawn displacement as a fraction of the smallest side
/// The sign is chosen so that the largest displacement along a board's normal (within 1 %, the first such
/// point) is positive: pictures do not depend on the sign an eigen-solver happens to return.
[[nodiscard]] Shape make_shape(const Surface& surface, const Eigen::Matrix3Xd& displacement, double fraction);

} // namespace stillwall::viz
