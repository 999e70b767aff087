#pragma once
// Where a point lies on the boards of a shell mesh: the nine-node quadrilateral and the place in it.

#include "mesh/core/quad9.h"
#include "mesh/core/shell_mesh.h"

#include <optional>

namespace stillwall {

/// A place on a board's mesh.
struct ShellPlace
{
    int quad = 0;        ///< index into ShellMesh::quads
    double r = 0, s = 0; ///< [-] natural coordinates, −1 … 1
    double distance = 0; ///< [m] in the board's plane from the point looked for; 0 when it lies on the mesh
};

/// Finds points on the mesh of one board. Elements may be skewed and have curved sides; x(r, s) = p is solved by
/// Newton's method in those whose bounding box holds p, found by a grid of cells. Beyond the mesh (over a hole, past an
/// end) the nearest place is looked for on the sides that belong to one element only. Cost: under 1 µs a point on the
/// mesh, some 3 µs beyond it. Keeps copies: mesh and cabinet may go.
class BoardLocator
{
public:
    /// @param board  index into cabinet.boards, whose elements lie in its plane and do not fold over
    BoardLocator(const Cabinet& cabinet, const ShellMesh& mesh, int board);

    /// The place of the mesh nearest to the point's foot on the board's plane. On a side shared by two elements: the
    /// first of them. Nothing when the board has no elements.
    [[nodiscard]] std::optional<ShellPlace> nearest(const Vector3d& point) const;

private:
    using Corners = Eigen::Matrix<double, 2, 9>;
    struct Box
    {
        Vector2d low, high;
        [[nodiscard]] double distance(const Vector2d& p) const
        {
            return (low - p).cwiseMax(p - high).cwiseMax(0.0).norm();
        }
    };
    struct Element
    {
        Corners X; ///< nodes in the board's frame [m]
        Box box;
        int quad;
    };
    struct Side
    {
        Eigen::Matrix<double, 2, 3> X; ///< first corner, middle, second corner
        Box box;
        int element, number; ///< number 0 … 3: from corner `number` to the next
    };

    void find_sides(const ShellMesh& mesh);
    void make_grid();
    [[nodiscard]] static Box around(const Corners& X);
    [[nodiscard]] Eigen::Array2i cell_of(const Vector2d& p) const;
    [[nodiscard]] std::optional<ShellPlace> beyond(const Vector2d& p) const;

    Frame frame_;
    std::vector<Element> elements_;
    std::vector<Side> sides_; ///< of the board's edge
    Box all_{};
    double cell_ = 1; ///< [m] side of a grid cell
    Eigen::Array2i n_cells_{0, 0};
    std::vector<int> first_,
        in_cell_; ///< elements of cell c: in_cell_[first_[c]] … in_cell_[first_[c + 1] − 1], ascending
};

/// The same for all boards of a cabinet.
class ShellLocator
{
public:
    ShellLocator(const Cabinet& cabinet, const ShellMesh& mesh);

    /// @throws MeshError when the board has no elements
    [[nodiscard]] ShellPlace nearest(int board, const Vector3d& point) const;

private:
    std::vector<BoardLocator> boards_;
};

} // namespace stillwall
