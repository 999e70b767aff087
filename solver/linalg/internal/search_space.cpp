#include "solver/linalg/internal/search_space.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/internal/sparse_product.h"

#include <Eigen/Eigenvalues>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

// The first m columns of V as the kernels for eight vectors take them: V itself, or some rows of it turned round.
Strided plain(const MatrixXd& V, Index m)
{
    return {V.data(), 1, V.rows(), static_cast<int>(V.rows()), static_cast<int>(m)};
}

Strided turned(const MatrixXd& V, Index m, Index row, Index n_rows)
{
    return {V.data() + row, V.rows(), 1, static_cast<int>(m), static_cast<int>(n_rows)};
}

// C rows from … ← Vᵀ Wᵀ for the first m columns of V.
void project_rows(const MatrixXd& V, Index m, const Eight& W, Index from, MatrixXd& C)
{
    // Rows in portions that stay in the second-level cache while the column tiles pass over them.
    constexpr Index portion = 256;
    Eight minus = Eight::Zero(8, m);
    for (Index row = 0; row < V.rows(); row += portion)
        subtract_product(minus.data(), turned(V, m, row, std::min(portion, V.rows() - row)), W.data() + 8 * row);
    C.middleRows(from, m) = -minus.transpose();
}

// W ← W − (V C_rows)ᵀ.
void subtract_combination(const MatrixXd& V, Index m, const MatrixXd& C, Index from, Eight& W)
{
    const Eight factors = C.middleRows(from, m).transpose();
    subtract_product(W.data(), plain(V, m), factors.data());
}

void grow(MatrixXd& A, const MatrixXd& columns)
{
    const Index old = A.cols(), added = columns.cols();
    A.conservativeResize(old + added, old + added);
    A.rightCols(added) = columns;
    A.bottomLeftCorner(added, old) = columns.topRows(old).transpose();
}

} // namespace

SearchSpace::SearchSpace(const LossyOperator& op, const Eigen::VectorXd& lambda, const MatrixXd& V)
    : op_(&op), V_(std::make_shared<const MatrixXd>(V))
{
    const Index m = V.cols();
    reduced_.K = lambda.asDiagonal();
    const auto reduce = [&](const SparseMatrix& A) {
        MatrixXd result = MatrixXd::Zero(m, m);
        for (Index from = 0; A.nonZeros() > 0 && from < m; from += 8) {
            const Index count = std::min<Index>(8, m - from);
            Eight W = Eight::Zero(8, V.rows());
            W.topRows(count) = V.middleCols(from, count).transpose();
            result.middleCols(from, count) = project(times_symmetric(W, A)).leftCols(count);
        }
        return MatrixXd(0.5 * (result + result.transpose()));
    };
    reduced_.L = op.loss().eta * reduced_.K + reduce(op.loss().rest);
    for (const DependentStiffness& d : op.dependent()) reduced_.change.push_back(reduce(d.K));
}

MatrixXd SearchSpace::project(const Eight& W) const
{
    MatrixXd C(V_->cols() + n_extra_, 8);
    project_rows(*V_, V_->cols(), W, 0, C);
    project_rows(T_, n_extra_, W, V_->cols(), C);
    return C;
}

void SearchSpace::subtract(const MatrixXd& C, Eight& W) const
{
    subtract_combination(*V_, V_->cols(), C, 0, W);
    subtract_combination(T_, n_extra_, C, V_->cols(), W);
}

int SearchSpace::extend(Eight W)
{
    constexpr double negligible = 1e-6; // of a direction's length: below, round-off 1e-16 scaled up would show
    const SparseMatrix& M = op_->M();
    Eight MW = times_symmetric(W, M);
    const Eigen::Matrix<double, 8, 1> square = gram(W, MW).diagonal();
    if (!square.allFinite()) throw SolverError("a correction of lossy modes is not finite");
    const Eigen::Matrix<double, 8, 1> scale = square.unaryExpr([](double x) { return x > 0 ? 1 / std::sqrt(x) : 0.0; });
    W = scale.asDiagonal() * W;
    MW = scale.asDiagonal() * MW;
    subtract(project(MW), W);
    MW = times_symmetric(W, M);
    Index kept = 8;
    for (int pass = 0; pass < 2; ++pass) { // the first leaves errors of 1e-16 over the smallest eigenvalue
        const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(gram(W, MW).topLeftCorner(kept, kept));
        Eigen::Matrix<double, 8, 8> transform = Eigen::Matrix<double, 8, 8>::Zero();
        const Index room = std::min(kept, M.cols() - size()), n = kept;
        kept = 0;
        for (Index i = n; i-- > 0 && kept < room;) {
            const double x = eigen.eigenvalues()[i];
            if (x > negligible * negligible)
                transform.row(kept++).head(n) = eigen.eigenvectors().col(i).transpose() / std::sqrt(x);
        }
        if (kept == 0) return 0;
        W = combine(transform, W);
        MW = combine(transform, MW);
    }
    // Second time: what the scaling brought up again; it is too small to disturb the unit length.
    subtract(project(MW), W);
    append(W, kept);
    return static_cast<int>(kept);
}

void SearchSpace::append(const Eight& W, Index n_columns)
{
    if (T_.cols() < n_extra_ + n_columns)
        T_.conservativeResize(V_->rows(), std::max<Index>(n_extra_ + n_columns, 2 * T_.cols()));
    T_.middleCols(n_extra_, n_columns) = W.topRows(n_columns).transpose();
    n_extra_ += n_columns;
    const auto columns_of = [&](const SparseMatrix& A) {
        MatrixXd C = MatrixXd::Zero(V_->cols() + n_extra_, 8);
        if (A.nonZeros() > 0) C = project(times_symmetric(W, A));
        const Index before = C.rows() - n_columns;
        C.bottomLeftCorner(n_columns, n_columns) =
            0.5 *
            (C.block(before, 0, n_columns, n_columns) + C.block(before, 0, n_columns, n_columns).transpose()).eval();
        return MatrixXd(C.leftCols(n_columns));
    };
    const MatrixXd K = columns_of(op_->K_used());
    grow(reduced_.K, K);
    grow(reduced_.L, op_->loss().eta * K + columns_of(op_->loss().rest));
    for (std::size_t j = 0; j < reduced_.change.size(); ++j)
        grow(reduced_.change[j], columns_of(op_->dependent()[j].K));
}

void SearchSpace::settle()
{
    MatrixXd all(V_->rows(), size());
    all.leftCols(V_->cols()) = *V_;
    if (n_extra_ > 0) all.rightCols(n_extra_) = T_.leftCols(n_extra_);
    V_ = std::make_shared<const MatrixXd>(std::move(all));
    T_.resize(V_->rows(), 0);
    n_extra_ = 0;
}

SearchSpace SearchSpace::part(const MatrixXd& y) const
{
    SearchSpace result = *this;
    const int n = static_cast<int>(V_->rows()), m = static_cast<int>(y.cols()), all = static_cast<int>(y.rows());
    MatrixXd V(n, m);
    gemm({'N', 'N', n, m, all, 1, V_->data(), n, y.data(), all, 0, V.data(), n});
    result.V_ = std::make_shared<const MatrixXd>(std::move(V));
    const auto reduce = [&](MatrixXd& A) { A = y.transpose() * (A * y).eval(); };
    reduce(result.reduced_.K);
    reduce(result.reduced_.L);
    for (MatrixXd& A : result.reduced_.change) reduce(A);
    return result;
}

Eight SearchSpace::vectors(std::span<const ReducedMode> modes) const
{
    MatrixXd C = MatrixXd::Zero(size(), 8);
    for (std::size_t k = 0; k < modes.size(); ++k) {
        const auto column = static_cast<Index>(2 * k);
        C.col(column).head(modes[k].c.size()) = -modes[k].c.real();
        C.col(column + 1).head(modes[k].c.size()) = -modes[k].c.imag();
    }
    Eight W = Eight::Zero(8, V_->rows());
    subtract_combination(*V_, V_->cols(), C, 0, W);
    subtract_combination(T_, n_extra_, C, V_->cols(), W);
    return W;
}

} // namespace stillwall::solver::internal
