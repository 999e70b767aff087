#pragma once
// What the eigen-solvers demand of their input, and how their results are judged.

#include "solver/linalg/eigen.h"

namespace stillwall::solver::internal {

/// @throws DomainError  the matrices are empty, of different size or hold a value that is not finite
/// @throws SolverError  M has a diagonal entry ≤ 0
void check_pair(const SparseMatrix& K, const SparseMatrix& M);

/// @throws DomainError
void check_options(const EigenOptions& options);

/// ‖Kφ − λMφ‖ / ‖(K + σ'M)φ‖ of each pair, in the 2-norm.
[[nodiscard]] Eigen::VectorXd relative_residuals(const SparseMatrix& K, const SparseMatrix& M,
                                                 const Eigen::VectorXd& lambda, const Eigen::MatrixXd& phi,
                                                 double shift);

} // namespace stillwall::solver::internal
