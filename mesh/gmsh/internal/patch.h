#pragma once
// Quadrilaterals over a plane region with given nodes on its boundary.

#include <Eigen/Core>

#include <array>
#include <optional>
#include <vector>

namespace stillwall::mesh {

using Eigen::Vector2d;

/// A plane region by its boundary nodes.
struct Region
{
    std::vector<Vector2d> points;
    /// Indices into points: the outer loop anticlockwise, then holes clockwise. A loop that walks a cut both ways has
    /// its nodes twice.
    std::vector<std::vector<int>> loops;
};

struct Patch
{
    std::vector<Vector2d> points;          ///< boundary nodes as in the region, then inner nodes
    std::vector<std::array<int, 4>> quads; ///< anticlockwise
    int n_boundary = 0;
};

/// By Gmsh: Frontal-Delaunay triangles recombined by Blossom. Nothing when triangles are left, or when
/// a loop touches itself.
/// Gmsh must be open (GmshSession).
[[nodiscard]] std::optional<Patch> patch_by_gmsh(const Region& region, int algorithm);

/// By recursive splitting into halves with even boundaries, down to single elements: works on any boundary with an
/// even number of nodes, and best on coarse ones.
/// @source J. A. Talbert and A. R. Parkinson, Int. J. Numer. Meth. Eng. 29 (1990) 1551, for the principle
[[nodiscard]] std::optional<Patch> patch_by_splitting(const Region& region);

/// Triangles between every second boundary node, each cut into three: covers any plane region, the last resort where
/// the others fail. Nothing when a loop has an odd number of nodes or less than six.
[[nodiscard]] std::optional<Patch> patch_by_thirds(const Region& region);

/// Moves inner nodes where that makes the worst element around them better.
void smooth(Patch& patch);

/// Shape of a quadrilateral from 0 (degenerate; negative when inverted) to 1 (rectangle): the smallest corner sine,
/// lowered by uneven corner areas, which is what spoils the Jacobian.
[[nodiscard]] double shape(const std::array<Vector2d, 4>& corners);

/// Shape of the worst element.
[[nodiscard]] double worst_shape(const Patch& patch);

/// Opens Gmsh, quiet and repeatable, for the lifetime of the object.
class GmshSession
{
public:
    GmshSession();
    ~GmshSession();
    GmshSession(const GmshSession&) = delete;
    GmshSession& operator=(const GmshSession&) = delete;
};

} // namespace stillwall::mesh
