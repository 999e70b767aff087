#pragma once
// K φ = λ M φ for the lowest modes of a large sparse symmetric pair, proved complete by a Sturm count.

#include <Eigen/SparseCore>

#include <memory>
#include <optional>
#include <vector>

namespace stillwall::solver {

namespace internal {
struct FrontTree; // the elimination order and the layout of the factor
}

using SparseMatrix = Eigen::SparseMatrix<double>;

struct EigenOptions
{
    double f_max = 1500;     ///< [Hz] all modes below are wanted
    double f_shift = 60;     ///< [Hz] the operator is (K + (2π f_shift)² M)⁻¹ M, K may be singular
    double tolerance = 1e-9; ///< relative residual ‖Kφ−λMφ‖ / ‖(K+σ'M)φ‖, σ' the shift
    int block_size = 8;      ///< vectors per block, 1 … 8; more than 8 counts as 8
    bool prove = true;       ///< Sturm count at f_max
    int nodes_dof = 6;       ///< unknowns per node, in consecutive rows; ordering works on the node graph. 1: plain
    std::shared_ptr<const internal::FrontTree> ordering =
        nullptr; ///< of an earlier result whose K and M had the same pattern; may be empty
};

struct EigenResult
{
    Eigen::VectorXd lambda;     ///< [rad²/s²] ascending, size n; rigid modes included (≈ 0)
    Eigen::MatrixXd phi;        ///< shape (n_dofs, n), mass-normalised: φᵀMφ = 1
    Eigen::VectorXd residual;   ///< relative residual per mode
    std::optional<int> n_below; ///< number of eigenvalues below (2π f_max)² by Sturm count; nothing when not asked
    bool is_proved = false;     ///< the Sturm count equals the number found below f_max
    int n_solves = 0;           ///< right-hand sides solved
    double shift_used = 0;      ///< [Hz] f_max moved slightly when it hit an eigenvalue
    double seconds_factor = 0, seconds_iterate = 0, seconds_count = 0;
    std::shared_ptr<const internal::FrontTree> ordering; ///< for more factorisations with the pattern of K and M
};

/// All modes below f_max by block Lanczos on the shifted and inverted pencil, complete by Sturm count: when the
/// count asks for more, the iteration goes on until it is met (Sylvester's law of inertia: Parlett, The Symmetric
/// Eigenvalue Problem, ch. 3).
/// @param K  symmetric, positive semidefinite, both triangles stored
/// @param M  symmetric, positive definite
/// @throws SolverError  a factorisation breaks down or the iteration does not converge
[[nodiscard]] EigenResult lowest_modes(const SparseMatrix& K, const SparseMatrix& M, const EigenOptions& options);

/// The n lowest modes by a general library (Spectra's shift-invert Lanczos over a CHOLMOD operator), without a count:
/// the second solver of verify.h and the yardstick in the benchmark.
/// @throws SolverError  K + (2π f_shift)² M is not positive definite or the iteration does not converge
[[nodiscard]] EigenResult lowest_modes_spectra(const SparseMatrix& K, const SparseMatrix& M, int n,
                                               const EigenOptions& options);

} // namespace stillwall::solver
