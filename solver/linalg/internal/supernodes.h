#pragma once
// Symbolic factorisation: which columns of the factor share one dense panel, and the tree they form.

#include "solver/linalg/internal/node_graph.h"

#include <cstddef>
#include <vector>

namespace stillwall::solver::internal {

/// A dense panel of the factor: columns first … first + n_cols − 1, rows the same columns and then those of `rows`.
struct Front
{
    int first = 0;
    int n_cols = 0;
    int parent = -1;       ///< index of the front that takes its update, −1 for a root
    std::size_t panel = 0; ///< offset of the panel, shape (n_cols + rows.size(), n_cols)
    std::vector<int> rows; ///< ascending positions below the diagonal block
    std::vector<int> children;

    [[nodiscard]] int n_rows() const { return static_cast<int>(rows.size()); }
    [[nodiscard]] int height() const { return n_cols + n_rows(); }
};

/// Fronts in an order where children come before parents. "Position" is an unknown's place in the elimination.
struct FrontTree
{
    std::vector<int> unknown;  ///< position → unknown
    std::vector<int> position; ///< unknown → position
    std::vector<Front> fronts;
    std::size_t n_values = 0; ///< doubles in all panels

    [[nodiscard]] int size() const { return static_cast<int>(unknown.size()); }
};

/// Elimination in the given node order; small fronts are merged into their parents where the padding costs little.
/// @source Davis, Rajamanickam & Sid-Lakhdar, Acta Numerica 25 (2016) 383, sections 4, 9 and 11
[[nodiscard]] FrontTree make_front_tree(const NodeGraph& graph, const std::vector<int>& order);

} // namespace stillwall::solver::internal
