#include "solver/linalg/internal/node_graph.h"

#include "mesh/cabinet/error.h"

#include <metis.h>

#include <algorithm>
#include <numeric>
#include <string>

namespace stillwall::solver::internal {

namespace {

bool is_same_pattern(const SparseMatrix& A, int i, int j)
{
    const int* outer = A.outerIndexPtr();
    const int* inner = A.innerIndexPtr();
    return outer[i + 1] - outer[i] == outer[j + 1] - outer[j] &&
           std::equal(inner + outer[i], inner + outer[i + 1], inner + outer[j]);
}

std::vector<int> group_unknowns(const SparseMatrix& K, int nodes_dof)
{
    const int n = static_cast<int>(K.cols());
    std::vector<int> first;
    for (int i = 0; i < n; ++i) {
        const bool is_new =
            n % nodes_dof == 0 && nodes_dof > 1 ? i % nodes_dof == 0 : i == 0 || !is_same_pattern(K, i - 1, i);
        if (is_new) first.push_back(i);
    }
    first.push_back(n);
    return first;
}

} // namespace

NodeGraph make_node_graph(const SparseMatrix& K, const SparseMatrix& M, int nodes_dof)
{
    NodeGraph graph;
    graph.first = group_unknowns(K, std::max(1, nodes_dof));
    const int n_nodes = graph.n_nodes();
    std::vector<int> node_of(graph.n_unknowns());
    for (int node = 0; node < n_nodes; ++node) {
        std::fill(node_of.begin() + graph.first[node], node_of.begin() + graph.first[node + 1], node);
    }
    std::vector<int> seen(n_nodes, -1);
    graph.start.push_back(0);
    for (int node = 0; node < n_nodes; ++node) {
        seen[node] = node;
        for (int column = graph.first[node]; column < graph.first[node + 1]; ++column) {
            for (const SparseMatrix* A : {&K, &M}) {
                const int* inner = A->innerIndexPtr();
                for (int k = A->outerIndexPtr()[column]; k < A->outerIndexPtr()[column + 1]; ++k) {
                    const int other = node_of[inner[k]];
                    if (seen[other] == node) continue;
                    seen[other] = node;
                    graph.neighbours.push_back(other);
                }
            }
        }
        graph.start.push_back(static_cast<int>(graph.neighbours.size()));
    }
    return graph;
}

std::vector<int> dissection_order(const NodeGraph& graph)
{
    idx_t n = graph.n_nodes();
    std::vector<int> order(n);
    std::iota(order.begin(), order.end(), 0);
    // METIS rejects graphs without edges.
    if (n < 3 || graph.neighbours.empty()) return order;
    std::vector<idx_t> start(graph.start.begin(), graph.start.end());
    std::vector<idx_t> neighbours(graph.neighbours.begin(), graph.neighbours.end());
    std::vector<idx_t> weights(n), perm(n), inverse(n);
    for (int i = 0; i < n; ++i) weights[i] = graph.weight(i);
    idx_t options[METIS_NOPTIONS];
    METIS_SetDefaultOptions(options);
    options[METIS_OPTION_NUMBERING] = 0;
    options[METIS_OPTION_COMPRESS] = 0; // the graph is already one vertex per node
    options[METIS_OPTION_SEED] = 1;     // the same order on every run
    const int status =
        METIS_NodeND(&n, start.data(), neighbours.data(), weights.data(), options, perm.data(), inverse.data());
    if (status != METIS_OK) throw SolverError("ordering of " + std::to_string(n) + " nodes failed");
    order.assign(perm.begin(), perm.end());
    return order;
}

} // namespace stillwall::solver::internal
