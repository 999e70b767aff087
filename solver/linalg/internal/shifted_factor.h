#pragma once
// Sparse factorisation K − σM = L S Lᵀ, S = ±1: inertia and solves with many right-hand sides.

#include "solver/linalg/internal/buffer.h"
#include "solver/linalg/internal/eight.h"
#include "solver/linalg/internal/panel_solve.h"
#include "solver/linalg/internal/supernodes.h"

#include <Eigen/Core>

#include <memory>

namespace stillwall::solver::internal {

/// @source multifrontal method: Duff & Reid, ACM Trans. Math. Softw. 9 (1983) 302
class ShiftedFactor
{
public:
    enum class Use
    {
        Solve,
        Count ///< the values are dropped front by front; solve() must not be called
    };

    /// @throws SolverError  a pivot is exactly zero or not finite
    ShiftedFactor(const SparseMatrix& K, const SparseMatrix& M, double sigma, std::shared_ptr<const FrontTree> tree,
                  Use use);

    /// (K − σM)⁻¹ of eight right-hand sides.
    [[nodiscard]] Eight solve(const Eight& B) const;

    [[nodiscard]] double sigma() const { return sigma_; }
    /// Eigenvalues of (K, M) below σ.
    [[nodiscard]] int n_negative() const { return n_negative_; }
    /// Largest ℓ_ik² of a negative pivot k over the diagonal entry i: 0 for a definite matrix; the round-off of a solve
    /// grows with it.
    [[nodiscard]] double growth() const { return growth_; }

private:
    struct Workspace;
    void assemble(const SparseMatrix& A, double scale, const Front& front, Workspace& work) const;
    void factor_front(int f, Workspace& work);
    [[nodiscard]] PanelView view(const Front& front) const;
    void watch_pivots(const Front& front, const double* panel, const Eigen::VectorXd& diagonal);

    // Shared with the factors at other shifts.
    std::shared_ptr<const FrontTree> tree_;
    double sigma_ = 0;
    Buffer values_;
    std::vector<signed char> sign_;     ///< by position
    std::vector<double> inverse_pivot_; ///< by position, of the diagonal of L
    int n_negative_ = 0;
    double growth_ = 0;
};

} // namespace stillwall::solver::internal
