#pragma once
// Block Lanczos for A = (K − σM)⁻¹ M in the inner product of M, with full reorthogonalisation.

#include "solver/linalg/internal/column_store.h"
#include "solver/linalg/internal/shifted_factor.h"

#include <cmath>
#include <functional>
#include <optional>
#include <random>
#include <vector>

namespace stillwall::solver::internal {

struct LanczosOptions
{
    int block_size = 8;      ///< 1 … 8
    double tolerance = 1e-9; ///< relative residual, see EigenOptions
};

/// How many eigenvalues lie below a limit; nothing if that is not known.
struct Count
{
    std::optional<int> n;
    double lambda = 0; ///< the limit [rad²/s²]
};

/// So close to the limit that round-off decides on which side of it the eigenvalue lies.
[[nodiscard]] inline bool is_at_limit(double lambda, double limit)
{
    return std::abs(lambda - limit) < 1e-7 * limit;
}

struct RitzPairs
{
    Eigen::VectorXd lambda; ///< below the limit, ascending
    Eigen::MatrixXd phi;    ///< shape (n, lambda.size()), unit M-norm
    double above = 0;       ///< the next Ritz value, not converged in general
};

///     A V = V T + V₊ β Eᵀ,   T y = θ y,   λ = σ + 1/θ,   φ = A V y / θ
///
/// The last step costs no solve and makes the residual ‖Kφ − λMφ‖ = ‖M V₊ β Eᵀ y‖ / θ².
/// @source Grimes, Lewis & Simon, SIAM J. Matrix Anal. Appl. 15 (1994) 228; last step: Nour-Omid, Parlett,
///         Ericsson & Jensen, Math. Comput. 48 (1987) 663
class BlockLanczos
{
public:
    /// @param factor  at a σ below all eigenvalues; must outlive this object, as must M
    BlockLanczos(const ShiftedFactor& factor, const SparseMatrix& M, const LanczosOptions& options);

    /// All pairs below a limit. Asked again, it goes on from where it was.
    /// @param count  asked once, when the answer is first needed; without an answer the search ends when every pair
    ///               below the limit and one above it have converged. Found more than counted, those at the limit
    ///               are left above it, converged or not
    /// @throws SolverError  not converged, M is not positive definite, or more pairs found than counted
    [[nodiscard]] RitzPairs find_below(const std::function<Count()>& count);
    [[nodiscard]] int n_solves() const { return n_solves_; }

private:
    struct Ritz
    {
        std::vector<double> lambda; ///< ascending
        Eigen::MatrixXd y;          ///< columns in the order of lambda
        Eigen::VectorXd error;      ///< relative residual of the pair each gives
    };

    void start();
    void step();
    [[nodiscard]] Eight project_out(Eight& W, int n_columns) const;
    Eigen::MatrixXd orthonormalise(Eight& W, double scale);
    [[nodiscard]] Eigen::MatrixXd checked_gram(const Eight& W, Eigen::Index n) const;
    void append(const Eight& W, int n_columns);
    [[nodiscard]] Ritz ritz() const;
    [[nodiscard]] RitzPairs extract(const Ritz& ritz, int n_wanted) const;
    int next_look(double worst);

    const ShiftedFactor& factor_;
    const SparseMatrix& M_;
    LanczosOptions options_;
    int n_ = 0;
    ColumnStore basis_;          ///< the first m_ + block_ columns are set
    int m_ = 0;                  ///< columns the operator has been applied to
    int block_ = 0, before_ = 0; ///< columns of the newest block and the one before
    Eight Mv_;                   ///< M times the newest block
    Eigen::MatrixXd T_;          ///< shape (m_, m_)
    Eigen::MatrixXd beta_;       ///< shape (block_, before_)
    double norm_ = 0;            ///< of A, estimated
    int n_solves_ = 0;
    double last_log_ = 0; ///< of the worst error over the tolerance at the last look
    int last_m_ = 0;
    std::mt19937_64 random_{20240229}; // fixed: the same digits on every run
};

} // namespace stillwall::solver::internal
