#pragma once
// Growing a basis that is orthonormal in some mass matrix.

#include "solver/linalg/eigen.h"

namespace stillwall::solver::internal {

/// Adds to V (VᵀMV = 1) what the columns of X bring beyond it; directions smaller than 1e-6 of their column are
/// dropped.
void add_to_basis(Eigen::MatrixXd& V, const SparseMatrix& M, const Eigen::MatrixXd& X);

/// The same for columns taken at the length they have: directions smaller than `least` are dropped.
void add_to_basis(Eigen::MatrixXd& V, const SparseMatrix& M, const Eigen::MatrixXd& X, double least);

/// VᵀAV.
[[nodiscard]] Eigen::MatrixXd reduced(const SparseMatrix& A, const Eigen::MatrixXd& V);

} // namespace stillwall::solver::internal
