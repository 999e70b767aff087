#pragma once
// The inside of the walls cut into convex cells by the planes of walls and plates. For mesh/cabinet's own use.

#include "mesh/cabinet/build_hull.h"

#include <map>

namespace stillwall {

/// A convex body by its faces, each a ring of corners [m] in any sense.
using ConvexFaces = std::vector<std::vector<Vector3d>>;

/// Corners of the section of a convex body by a plane, in order round it; empty when it passes beside.
[[nodiscard]] std::vector<Vector3d> section(const ConvexFaces& body, const Plane& plane);

/// All cells that planes make of the inside. Two cells are neighbours when they lie on different sides of one plane and
/// on the same side of every other.
class Cells
{
public:
    struct Cell
    {
        ConvexFaces faces;
        std::vector<bool> is_beyond; ///< per plane: it lies on its +n side
        Vector3d middle = Vector3d::Zero();
        double volume = 0; ///< [m³]
    };

    explicit Cells(const Cabinet& cabinet);

    [[nodiscard]] const std::vector<Cell>& all() const { return cells_; }
    /// The cell of a point; nothing outside.
    [[nodiscard]] std::optional<std::size_t> at(const Vector3d& p) const;
    /// The cell beyond a plane; nothing where there is none.
    [[nodiscard]] std::optional<std::size_t> beyond(std::size_t cell, std::size_t plane) const;
    /// Braces between whose faces it lies.
    [[nodiscard]] std::vector<int> slabs_of(const Cell& cell) const;
    [[nodiscard]] std::size_t n_planes() const { return planes_.size(); }

private:
    void cut(const Plane& plane);
    [[nodiscard]] std::optional<std::size_t> find(const std::vector<bool>& is_beyond) const;

    std::vector<Plane> planes_; ///< of walls, then two faces of each brace: −n, +n
    std::vector<int> braces_;   ///< boards whose faces are the last planes
    std::vector<Cell> cells_;
    std::map<std::vector<bool>, std::size_t> index_;
};

} // namespace stillwall
