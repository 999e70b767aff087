#pragma once
// The graph whose vertices are nodes (groups of unknowns), and its nested-dissection order.

#include "solver/linalg/eigen.h"

#include <vector>

namespace stillwall::solver::internal {

/// Undirected graph of the groups of unknowns coupled by K or M.
struct NodeGraph
{
    std::vector<int> first;      ///< first unknown of each node, size n_nodes + 1
    std::vector<int> start;      ///< into neighbours, size n_nodes + 1
    std::vector<int> neighbours; ///< without the node itself

    [[nodiscard]] int n_nodes() const { return static_cast<int>(first.size()) - 1; }
    [[nodiscard]] int n_unknowns() const { return first.back(); }
    [[nodiscard]] int weight(int node) const { return first[node + 1] - first[node]; }
};

/// @param nodes_dof  unknowns per node; where the size is no multiple of it, consecutive rows with the same pattern in
/// K are grouped
[[nodiscard]] NodeGraph make_node_graph(const SparseMatrix& K, const SparseMatrix& M, int nodes_dof);

/// Fill-reducing order of the nodes: position → node.
/// @source Karypis & Kumar, SIAM J. Sci. Comput. 20 (1998) 359 (METIS)
[[nodiscard]] std::vector<int> dissection_order(const NodeGraph& graph);

} // namespace stillwall::solver::internal
