#pragma once
// Products of a symmetric sparse matrix with eight vectors.

#include "solver/linalg/eigen.h"
#include "solver/linalg/internal/eight.h"

namespace stillwall::solver::internal {

/// X A: each vector times the symmetric A, both triangles stored.
[[nodiscard]] Eight times_symmetric(const Eight& X, const SparseMatrix& A);

/// A without its stored zeros.
[[nodiscard]] SparseMatrix without_zeros(const SparseMatrix& A);

} // namespace stillwall::solver::internal
