#include "solver/linalg/orthonormal.h"

#include <Eigen/Eigenvalues>

namespace stillwall::solver::internal {
namespace {

Eigen::VectorXd norms(const Eigen::MatrixXd& X, const SparseMatrix& M)
{
    return (X.array() * (M * X).array()).colwise().sum().max(0.0).sqrt().transpose();
}

/// Adds the directions of `rest`, free of V, that are larger than `least`.
void add_directions(Eigen::MatrixXd& V, const SparseMatrix& M, const Eigen::MatrixXd& rest, double least)
{
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> gram(reduced(M, rest));
    Eigen::Index n = 0;
    while (n < rest.cols() && gram.eigenvalues()[rest.cols() - 1 - n] > least * least) ++n;
    if (n == 0) return;
    Eigen::MatrixXd added =
        rest * gram.eigenvectors().rightCols(n) * gram.eigenvalues().tail(n).cwiseSqrt().cwiseInverse().asDiagonal();
    if (V.cols() > 0) added -= V * (V.transpose() * Eigen::MatrixXd(M * added));
    V.conservativeResize(rest.rows(), V.cols() + n);
    V.rightCols(n) = added;
}

/// X less its part in V; the second pass takes what round-off left.
Eigen::MatrixXd beyond(const Eigen::MatrixXd& V, const SparseMatrix& M, Eigen::MatrixXd X)
{
    for (int pass = 0; pass < 2; ++pass)
        if (V.cols() > 0) X -= V * (V.transpose() * Eigen::MatrixXd(M * X));
    return X;
}

} // namespace

void add_to_basis(Eigen::MatrixXd& V, const SparseMatrix& M, const Eigen::MatrixXd& X)
{
    Eigen::MatrixXd unit = X;
    const Eigen::VectorXd length = norms(X, M);
    for (Eigen::Index i = 0; i < X.cols(); ++i) unit.col(i) *= length[i] > 0 ? 1 / length[i] : 0;
    add_directions(V, M, beyond(V, M, std::move(unit)), 1e-6);
}

void add_to_basis(Eigen::MatrixXd& V, const SparseMatrix& M, const Eigen::MatrixXd& X, double least)
{
    add_directions(V, M, beyond(V, M, X), least);
}

Eigen::MatrixXd reduced(const SparseMatrix& A, const Eigen::MatrixXd& V)
{
    const Eigen::MatrixXd AV = A * V; // as one product the library would form it entry by entry
    return V.transpose() * AV;
}

} // namespace stillwall::solver::internal
