#pragma once
// Which unknowns a board's leaf uses at a node of the mesh.

#include "solver/structure/structure.h"

#include <map>
#include <set>

namespace stillwall::solver::internal {

/// Boards share the nodes of the mesh where they are glued. A board that can be taken off has nodes of its own along
/// its soft joints; a leaf over a film has nodes of its own but where the layers are held together: on the glued edges
/// at which the board ends, and around what is screwed into an opening.
class BoardNodes
{
public:
    BoardNodes(const Cabinet& cabinet, const ShellMesh& mesh);

    /// Node of the base leaf.
    [[nodiscard]] int base(int board, int node) const;
    /// Node of another leaf, added on first use.
    [[nodiscard]] int leaf(int board, const PlyOrigin& key, int node);

    [[nodiscard]] std::vector<int> base(int board, const std::vector<int>& nodes) const;

    /// The mesh's nodes and those of loosened boards.
    [[nodiscard]] int n_drawn() const { return mesh_.n_nodes() + static_cast<int>(loose_.size()); }
    /// Places of the mesh's nodes and of those added so far.
    [[nodiscard]] Eigen::Matrix3Xd places() const;

private:
    int add(int node);

    const ShellMesh& mesh_;
    std::vector<int> added_;                   ///< node of the mesh each stands beside
    std::map<std::pair<int, int>, int> loose_; ///< (board, node)
    std::set<std::pair<int, int>> held_together_;
    std::map<std::tuple<int, PlyOrigin, int>, int> leaf_;
};

/// Sides (end, middle, end) of the ending board's elements that lie on a junction's line, as nodes of the mesh. Round a
/// curved board the line is the chord of the nodes.
[[nodiscard]] std::vector<std::array<int, 3>> sides_on_line(const Cabinet& cabinet, const ShellMesh& mesh,
                                                            const Junction& junction);

} // namespace stillwall::solver::internal
