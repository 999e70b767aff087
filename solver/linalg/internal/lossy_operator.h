#pragma once
// K*(f) − λM acting on full vectors, and its real part as a matrix.

#include "solver/linalg/complex_modes.h"
#include "solver/linalg/internal/eight.h"
#include "solver/linalg/internal/split_loss.h"

#include <span>

namespace stillwall::solver::internal {

/// Residuals of up to four modes: the real part of mode k is row 2k, the imaginary part row 2k + 1.
struct LossyResidual
{
    Eight r;              ///< (K* − λM) φ
    Eigen::Array4d size;  ///< ‖r‖
    Eigen::Array4d scale; ///< ‖(K + σM) φ‖
};

class LossyOperator
{
public:
    /// @param problem  its K must outlive this object
    /// @param loss  of the problem
    /// @param sigma  of the scale of residuals [rad²/s²]
    LossyOperator(const LossyProblem& problem, SplitLoss loss, double sigma);

    [[nodiscard]] const SparseMatrix& K() const { return K_; }
    // These without their stored zeros, which are many: the products with them take most of the time.
    [[nodiscard]] const SparseMatrix& M() const { return M_; }
    [[nodiscard]] const SparseMatrix& K_used() const { return K_used_; }
    /// K_loss = η K + rest.
    [[nodiscard]] const SplitLoss& loss() const { return loss_; }
    [[nodiscard]] const std::vector<DependentStiffness>& dependent() const { return dependent_; }
    [[nodiscard]] bool is_dependent() const { return !dependent_.empty(); }

    /// s_j(f), size of dependent().
    /// @throws SolverError  a value is not finite
    [[nodiscard]] Eigen::VectorXcd change(double f_Hz) const;

    /// K + Σ Re s_j(f) K_j.
    [[nodiscard]] SparseMatrix real_stiffness(double f_Hz) const;

    /// @param phi  rows as in LossyResidual; each mode at its own frequency
    [[nodiscard]] LossyResidual residual(const Eight& phi, std::span<const std::complex<double>> lambda) const;

private:
    const SparseMatrix& K_;
    SparseMatrix K_used_, M_;
    SplitLoss loss_;
    std::vector<DependentStiffness> dependent_;
    double sigma_;
};

} // namespace stillwall::solver::internal
