#pragma once
// Matrix pairs with the sparsity and the spectrum of a box of nine-node shells, made without a mesher.

#include "solver/linalg/eigen.h"

namespace stillwall::bench {

struct MatrixPair
{
    solver::SparseMatrix K, M;
};

/// A free box 0.5 × 0.3 × 0.4 m of 18 mm board with a shelf: a grid of nine-node cells, each a frame of 36 beams that
/// join every two of its nodes, with the consistent mass of the cell. Six unknowns per node, six rigid modes.
/// @param cells  cells along the longest edge
[[nodiscard]] MatrixPair shell_like_box(int cells);

} // namespace stillwall::bench
