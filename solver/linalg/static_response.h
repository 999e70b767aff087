#pragma once
// What a structure does under forces that change slowly: the residual vectors that modes alone leave out.

#include "solver/linalg/eigen.h"

namespace stillwall::solver {

/// X with (K + (2π f_shift)² M) X = B. With f_shift well below the modes of interest X is the static response; the mass
/// keeps a free body from flying off.
/// @param B         shape (n_dofs, cases)
/// @param ordering  of an EigenResult for the same pattern; may be empty
/// @throws SolverError  a pivot vanishes
/// @throws DomainError  sizes do not fit, f_shift not > 0
[[nodiscard]] Eigen::MatrixXd static_response(const SparseMatrix& K, const SparseMatrix& M, const Eigen::MatrixXd& B,
                                              double f_shift,
                                              std::shared_ptr<const internal::FrontTree> ordering = nullptr,
                                              int nodes_dof = 6);

} // namespace stillwall::solver
