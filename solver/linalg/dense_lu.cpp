#include "solver/linalg/dense_lu.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"

#include <fmt/format.h>

namespace stillwall::solver::internal {

DenseLu::DenseLu(Eigen::MatrixXcd A, const char* what)
    : factors_(std::move(A)), pivots_(static_cast<std::size_t>(factors_.rows())), what_(what)
{
    const int zero_pivot = complex_lu(static_cast<int>(factors_.rows()), factors_.data(), pivots_.data());
    if (zero_pivot != 0) throw SolverError(fmt::format("{}: singular matrix (pivot {})", what_, zero_pivot));
}

Eigen::MatrixXcd DenseLu::solved(char op, Eigen::MatrixXcd B) const
{
    complex_lu_solve(op, static_cast<int>(factors_.rows()), static_cast<int>(B.cols()), factors_.data(), pivots_.data(),
                     B.data());
    if (!B.allFinite()) throw SolverError(fmt::format("{}: solution failed", what_));
    return B;
}

} // namespace stillwall::solver::internal
