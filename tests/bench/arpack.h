#pragma once
// The same eigenvalue problem by ARPACK over a CHOLMOD factor: a yardstick, not part of the program.

#include "solver/linalg/eigen.h"

namespace stillwall::bench {

/// The n lowest modes by shift and invert (mode 3), ncv = 2n.
/// @throws SolverError
[[nodiscard]] solver::EigenResult lowest_modes_arpack(const solver::SparseMatrix& K, const solver::SparseMatrix& M,
                                                      int n, const solver::EigenOptions& options);

} // namespace stillwall::bench
