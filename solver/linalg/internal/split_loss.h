#pragma once
// A loss as a multiple of the stiffness and what is left: boards of one loss, and the few springs with another.

#include "solver/linalg/eigen.h"

namespace stillwall::solver::internal {

/// K_loss = η K + rest.
struct SplitLoss
{
    double eta = 0;
    SparseMatrix
        rest; ///< symmetric, both triangles, compressed, without stored zeros; entries of round-off are left out
};

/// η is the median of the diagonals' ratios. Unknowns that are held (coupled to no other) do not count and have no
/// rest. Where the rest is not much smaller than K_loss itself, η = 0.
/// @param K_loss  symmetric, both triangles; may have no entries
[[nodiscard]] SplitLoss split_loss(const SparseMatrix& K, const SparseMatrix& K_loss);

} // namespace stillwall::solver::internal
