#include "solver/linalg/internal/eigen_checks.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/internal/sparse_product.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {

namespace {

void check_finite(const SparseMatrix& A, const char* name)
{
    if (!A.isCompressed()) throw DomainError(fmt::format("{} must be in compressed form", name));
    const double* end = A.valuePtr() + A.nonZeros();
    if (!std::all_of(A.valuePtr(), end, [](double v) { return std::isfinite(v); })) {
        throw DomainError(fmt::format("{} holds a value that is not finite", name));
    }
}

} // namespace

void check_pair(const SparseMatrix& K, const SparseMatrix& M)
{
    if (K.rows() == 0 || K.rows() != K.cols() || M.rows() != K.rows() || M.cols() != K.cols()) {
        throw DomainError(fmt::format("stiffness and mass must be square and of the same size, got {} x {} and {} x {}",
                                      K.rows(), K.cols(), M.rows(), M.cols()));
    }
    check_finite(K, "stiffness matrix");
    check_finite(M, "mass matrix");
    Eigen::Index worst = 0;
    const double smallest = M.diagonal().minCoeff(&worst);
    if (!(smallest > 0))
        throw SolverError(
            fmt::format("mass matrix is not positive definite: diagonal entry {} is {:.3g}", worst, smallest));
}

void check_options(const EigenOptions& options)
{
    if (!(options.f_max > 0) || !(options.f_shift > 0)) {
        throw DomainError(
            fmt::format("upper frequency and shift must be > 0 Hz, got {} and {}", options.f_max, options.f_shift));
    }
    if (!(options.tolerance > 0) || options.block_size < 1 || options.nodes_dof < 1) {
        throw DomainError(
            fmt::format("tolerance must be > 0, block size and unknowns per node at least 1, got {}, {} and {}",
                        options.tolerance, options.block_size, options.nodes_dof));
    }
}

Eigen::VectorXd relative_residuals(const SparseMatrix& K, const SparseMatrix& M, const Eigen::VectorXd& lambda,
                                   const Eigen::MatrixXd& phi, double shift)
{
    constexpr Eigen::Index block = 8;
    Eigen::VectorXd result(lambda.size());
    for (Eigen::Index from = 0; from < lambda.size(); from += block) {
        const Eigen::Index n = std::min(block, lambda.size() - from);
        Eight X = Eight::Zero(8, phi.rows());
        X.topRows(n) = phi.middleCols(from, n).transpose();
        const Eight KX = times_symmetric(X, K), MX = times_symmetric(X, M);
        Eigen::Matrix<double, 8, 1> factor = Eigen::Matrix<double, 8, 1>::Zero();
        factor.head(n) = lambda.segment(from, n);
        Eigen::Array<double, 8, 1> r2 = Eigen::Array<double, 8, 1>::Zero(), f2 = r2;
        for (Eigen::Index i = 0; i < phi.rows(); ++i) {
            r2 += (KX.col(i) - factor.cwiseProduct(MX.col(i))).array().square();
            f2 += (KX.col(i) + shift * MX.col(i)).array().square();
        }
        result.segment(from, n) = (r2 / f2).sqrt().head(n);
    }
    return result;
}

} // namespace stillwall::solver::internal
