#pragma once
// What is known of each corner node's displacement when a cabinet changes a little, and the smooth motion of the rest.
// Part of morph.cpp.

#include "mesh/core/shell_mesh.h"

namespace stillwall::morphing {

inline constexpr double on_it = 1e-6; ///< [m] a node this near to a line lies on it; the mesher is exact to 1e-8

/// Up to three equations q_k · d = v_k for a displacement d [m], with orthonormal q_k. Earlier ones go before later
/// ones.
class Hold
{
public:
    /// Adds q · d = v, for a unit vector q, unless the equations so far say (nearly) all about that direction.
    void add(const Vector3d& q, double v);
    /// d becomes fully known.
    void pin(const Vector3d& d);
    [[nodiscard]] int count() const { return n_; }
    /// The smallest displacement that meets the equations.
    [[nodiscard]] Vector3d known() const;
    /// Columns: orthonormal directions left free, shape (3, 3 − count()).
    [[nodiscard]] Eigen::Matrix3Xd free_directions() const;

private:
    int n_ = 0;
    Eigen::Matrix3d q_ = Eigen::Matrix3d::Identity(); ///< columns
    Vector3d v_ = Vector3d::Zero();
};

/// The elements of one board.
struct BoardMesh
{
    struct Side
    {
        int first = 0, middle = 0, last = 0;
        std::vector<int> quads; ///< of this board, one or two
    };
    std::vector<int> corners; ///< nodes, ascending
    std::vector<Side> sides;
};

/// One morph at work: mesh, both cabinets and what is known so far.
struct Motion
{
    const ShellMesh& mesh;
    const Cabinet &from, &to;
    std::vector<BoardMesh> boards;                     ///< as in the cabinets
    std::vector<Hold> holds;                           ///< [node]; of use at corner nodes
    std::vector<int> n_boards;                         ///< [node] boards a corner node belongs to
    std::vector<std::pair<int, Vector3d>> rim_middles; ///< mid-side nodes on rims and their displacements

    Motion(const ShellMesh& the_mesh, const Cabinet& old_cabinet, const Cabinet& new_cabinet);
    [[nodiscard]] Vector3d at(int node) const { return mesh.nodes.col(node); }
};

/// A straight line in a board's plane: along, and across = n × along.
struct PlaneLine
{
    Vector3d from, along, across;
    double length = 0; ///< [m]

    PlaneLine(const Frame& frame, const Vector3d& a, const Vector3d& b);
    [[nodiscard]] double along_of(const Vector3d& x) const { return along.dot(x - from); }
    [[nodiscard]] double across_of(const Vector3d& x) const { return across.dot(x - from); }
    /// On the segment, ends included.
    [[nodiscard]] bool carries(const Vector3d& x) const;
};

/// The line of a junction in the plane of one of its boards.
[[nodiscard]] PlaneLine line_of(const Cabinet& cabinet, int junction, int board);

/// Planes, junction lines, outlines, sides of strips, ribs.
void hold_lines(Motion& motion);

/// Rims; see morph_rims.cpp. After hold_lines().
/// @throws DomainError when a line no longer meets the rim it ended on
void hold_rims(Motion& motion);

/// Notches in front of openings; ends of strips and notches across a junction's line go with the node on the line.
/// After hold_rims().
void hold_strip_ends(Motion& motion);

/// Displacements of the corner nodes [m], shape (3, n_nodes): those with the least Σ ∫ |∇d|² over the boards that meet
/// all holds, so that a change that stretches a board evenly stretches its elements evenly.
[[nodiscard]] Eigen::Matrix3Xd relax(const Motion& motion);

} // namespace stillwall::morphing
