#include "solver/linalg/internal/block_lanczos.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/internal/sparse_product.h"

#include <Eigen/Eigenvalues>

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace stillwall::solver::internal {

BlockLanczos::BlockLanczos(const ShiftedFactor& factor, const SparseMatrix& M, const LanczosOptions& options)
    : factor_(factor), M_(M), options_(options), n_(static_cast<int>(M.cols())), basis_(n_)
{
    options_.block_size = std::clamp(options_.block_size, 1, std::min(8, n_));
}

// W ← W − V (Vᵀ M W) for the first n_columns of the basis. Returns the coefficients, shape (8, n_columns).
Eight BlockLanczos::project_out(Eight& W, int n_columns) const
{
    const Eight C = basis_.project(times_symmetric(W, M_), 0, n_columns);
    basis_.subtract_combination(C, 0, W);
    return C;
}

// Makes W, already projected, orthonormal and sets Mv_ = M W; directions that vanish against `scale` are dropped (scale
// 0: against W itself). Returns R, shape (kept, 8): old w_i = Σ_k R_ki new w_k. The eigenvectors of the Gram matrix
// carry on where a Cholesky factor breaks down. What is scaled up much, with it the round-off in it, is projected out
// again before it may mix with the rest; R only records what was done, so the small eigenvalues need not be accurate.
Eigen::MatrixXd BlockLanczos::orthonormalise(Eight& W, double scale)
{
    constexpr double negligible = 1e-14, largest_gain = 1e6, safe_gain = 1e4;
    Eigen::MatrixXd R = Eigen::MatrixXd::Identity(8, 8);
    Mv_ = times_symmetric(W, M_);
    for (int pass = 0; pass < 12; ++pass) {
        const Eigen::MatrixXd G = checked_gram(W, R.rows());
        const auto n = G.rows();
        const double distance = n > 0 ? (G - Eigen::MatrixXd::Identity(n, n)).cwiseAbs().maxCoeff() : 0.0;
        if (distance < 1e-14) return R;
        const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(G);
        const double largest = std::sqrt(std::max(eigen.eigenvalues().maxCoeff(), std::numeric_limits<double>::min()));
        if (scale == 0) scale = largest;
        const Eigen::VectorXd root = eigen.eigenvalues().cwiseMax(std::pow(largest / largest_gain, 2)).cwiseSqrt();
        const Eigen::MatrixXd new_R = root.asDiagonal() * eigen.eigenvectors().transpose() * R;
        Eigen::Matrix<double, 8, 8> transform = Eigen::Matrix<double, 8, 8>::Zero();
        Eigen::Index kept = 0;
        double gain = 0;
        // No more directions than the space has left beside the basis; the largest come last.
        for (Eigen::Index i = std::max<Eigen::Index>(0, n - (n_ - m_)); i < n; ++i) {
            if (!(new_R.row(i).norm() > negligible * scale)) continue;
            gain = std::max(gain, largest / root[i]);
            R.row(kept) = new_R.row(i);
            transform.row(kept++).head(n) = eigen.eigenvectors().col(i).transpose() / root[i];
        }
        R.conservativeResize(kept, 8);
        W = combine(transform, W);
        Mv_ = combine(transform, Mv_);
        if (kept == n && distance < 1e-8) return R; // converges quadratically
        if (gain > safe_gain) {
            static_cast<void>(project_out(W, m_));
            Mv_ = times_symmetric(W, M_);
        }
    }
    throw SolverError("eigenvalue iteration cannot make its block orthonormal");
}

// The Gram matrix of the first n vectors in the inner product of M, with Mv_ = M W.
Eigen::MatrixXd BlockLanczos::checked_gram(const Eight& W, Eigen::Index n) const
{
    const Eigen::MatrixXd G = gram(W, Mv_).topLeftCorner(n, n);
    if (!G.allFinite()) throw SolverError("eigenvalue iteration met a value that is not finite");
    for (Eigen::Index i = 0; i < n; ++i) {
        // What is left of a vanishing direction is round-off and may have any sign.
        if (G(i, i) < 0 && G(i, i) < -1e-6 * W.row(i).norm() * Mv_.row(i).norm()) {
            throw SolverError("mass matrix is not positive definite: a vector has negative kinetic energy");
        }
    }
    return G;
}

// The first rows of W become the newest block of the basis.
void BlockLanczos::append(const Eight& W, int n_columns)
{
    before_ = block_;
    block_ = n_columns;
    basis_.write(m_, n_columns, W);
}

// A block of random vectors, smoothed once by the operator, orthogonal to the basis.
void BlockLanczos::start()
{
    std::normal_distribution<double> normal;
    const int b = std::min(options_.block_size, n_ - m_);
    Eight W = Eight::Zero(8, n_);
    for (int j = 0; j < n_; ++j) {
        for (int i = 0; i < b; ++i) W(i, j) = normal(random_);
    }
    W = factor_.solve(times_symmetric(W, M_));
    n_solves_ += b;
    for (int pass = 0; pass < 2 && m_ > 0; ++pass) static_cast<void>(project_out(W, m_));
    append(W, static_cast<int>(orthonormalise(W, 0).rows()));
    beta_ = Eigen::MatrixXd::Zero(block_, before_);
}

void BlockLanczos::step()
{
    const int b = block_, m = m_ + block_;
    Eight W = factor_.solve(Mv_);
    n_solves_ += b;
    // Local part: α from the mass product at hand, β from the step before.
    Eight local = Eight::Zero(8, before_ + b);
    local.topLeftCorner(b, before_) = beta_;
    local.rightCols(b) = gram(W, Mv_).leftCols(b);
    basis_.subtract_combination(local, m_ - before_, W);
    const Eight correction = project_out(W, m);
    const Eigen::MatrixXd alpha = (local.rightCols(b) + correction.rightCols(b)).topRows(b);
    norm_ = std::max(norm_, alpha.norm());

    T_.conservativeResizeLike(Eigen::MatrixXd::Zero(m, m));
    T_.bottomRightCorner(b, b) = 0.5 * (alpha + alpha.transpose());
    T_.block(m_, m_ - before_, b, before_) = beta_;
    T_.block(m_ - before_, m_, before_, b) = beta_.transpose();
    m_ = m;
    const Eigen::MatrixXd R = orthonormalise(W, norm_);
    beta_ = R.leftCols(b);
    append(W, static_cast<int>(R.rows()));
}

BlockLanczos::Ritz BlockLanczos::ritz() const
{
    // θ > 0 descending is λ = σ + 1/θ ascending.
    Eigen::MatrixXd y = -T_;
    const std::vector<double> minus_theta = symmetric_eigen(m_, y.data());
    Ritz result;
    result.error = (beta_ * y.bottomRows(beta_.cols())).colwise().norm();
    result.lambda.resize(m_);
    for (int i = 0; i < m_; ++i) {
        const double theta = -minus_theta[i];
        result.lambda[i] = theta > 0 ? factor_.sigma() + 1 / theta : std::numeric_limits<double>::infinity();
        result.error[i] /= theta; // ‖(K−σM)φ‖ = ‖Mφ‖/θ
    }
    result.y = std::move(y);
    return result;
}

RitzPairs BlockLanczos::extract(const Ritz& ritz, int n_wanted) const
{
    RitzPairs result;
    result.lambda = Eigen::Map<const Eigen::VectorXd>(ritz.lambda.data(), n_wanted);
    result.above = n_wanted < m_ ? ritz.lambda[n_wanted] : std::numeric_limits<double>::infinity();
    Eigen::MatrixXd y(m_ + block_, n_wanted);
    y.topRows(m_) = ritz.y.leftCols(n_wanted);
    y.bottomRows(block_) = beta_ * ritz.y.bottomRows(beta_.cols()).leftCols(n_wanted);
    for (int i = 0; i < n_wanted; ++i) {
        y.col(i).tail(block_) *= result.lambda[i] - factor_.sigma();
        y.col(i).normalize();
    }
    result.phi = basis_.times(y);
    return result;
}

// The projected problem costs as much as several steps: look again when the decay so far promises success.
int BlockLanczos::next_look(double worst)
{
    const double log_left = std::log(worst / options_.tolerance);
    int columns = 2 * options_.block_size;
    if (last_m_ > 0 && last_log_ > log_left) {
        columns = static_cast<int>(0.9 * log_left * (m_ - last_m_) / (last_log_ - log_left));
    }
    last_log_ = log_left;
    last_m_ = m_;
    return m_ + std::clamp(columns, 1, 10 * options_.block_size);
}

RitzPairs BlockLanczos::find_below(const std::function<Count()>& count)
{
    const Count expected = count();
    last_m_ = 0;
    const int counted = expected.n.value_or(0);
    int look = counted + counted / 2 + 4 * options_.block_size;
    while (true) {
        if (block_ == 0) start(); // at first, and beside an invariant subspace
        step();
        if (m_ < look && block_ > 0 && m_ + block_ <= n_) continue;
        const Ritz now = ritz();
        const int below = static_cast<int>(std::lower_bound(now.lambda.begin(), now.lambda.end(), expected.lambda) -
                                           now.lambda.begin());
        if (expected.n && below > *expected.n) {
            // The caller moves the limit off it.
            if (is_at_limit(now.lambda[*expected.n], expected.lambda)) return extract(now, *expected.n);
            throw SolverError(fmt::format("{} modes found where the Sturm count says {}", below, *expected.n));
        }
        const int needed = expected.n.value_or(std::min(below + 1, n_));
        look = m_ + 2 * options_.block_size;
        if (m_ >= needed && (!expected.n || below == *expected.n)) {
            const double worst = needed > 0 ? now.error.head(needed).maxCoeff() : 0.0;
            if (worst <= options_.tolerance) return extract(now, below);
            look = next_look(worst);
        }
        if (m_ >= n_ || m_ > 8 * std::max(needed, below) + 200 * options_.block_size) {
            throw SolverError(
                fmt::format("{} of {} modes found with {} basis vectors, no convergence", below, needed, m_));
        }
    }
}

} // namespace stillwall::solver::internal
