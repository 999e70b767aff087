#pragma once
// Lossy modes: (K*(f) − λ M) φ = 0 with a complex, frequency-dependent stiffness, each mode at its own frequency.
//
//     K*(f) = K + i K_loss + Σ_j s_j(f) K_j
// K is real at the layers' stiffness at the upper frequency; s_j(f) is the complex change of layer j's modulus from
// there,
//     s_j(f) = [G_j(f)(1 + i η_j(f))] / G_j,ref − (1 + i η_j,ref)
// λ = (2πf)² (1 + iη) defines frequency and loss factor of a mode; with a complex mode shape the strain-energy shares
// φᴴ K_loss φ / φᴴ K φ sum to exactly this η, which the method with real shapes (Johnson & Kienholz, AIAA J. 20 (1982)
// 1284) only reaches for small losses.

#include "solver/linalg/eigen.h"

#include <complex>
#include <functional>
#include <vector>

namespace stillwall::solver {

/// Stiffness that changes with frequency.
struct DependentStiffness
{
    SparseMatrix K; ///< real, symmetric, both triangles: stiffness per unit of `change`
    std::function<std::complex<double>(double f_Hz)>
        change; ///< s_j(f), 0 at the reference, smooth; several threads call it
};

/// What one pair of matrices becomes with losses.
struct LossyProblem
{
    const SparseMatrix& K;
    const SparseMatrix& M;
    const SparseMatrix& K_loss; ///< symmetric, both triangles; may have no entries
    const std::vector<DependentStiffness>& dependent;
};

struct ComplexModesOptions
{
    double tolerance = 1e-6; ///< relative residual of a mode, ‖(K* − λM)φ‖ / ‖(K + σM)φ‖
    int max_rounds = 16;     ///< of enrichment by eight vectors
    double f_shift = 60;     ///< [Hz] σ = (2π f_shift)² as in EigenOptions
    int nodes_dof = 6;
    double rigid_below_Hz = 1; ///< modes below are passed through unchanged
};

struct ComplexModes
{
    Eigen::VectorXcd lambda; ///< [rad²/s²] in the order of the real modes given (not sorted again)
    Eigen::MatrixXcd phi; ///< bilinear normalisation φᵀ M φ = 1, largest entry's real part > 0; shape (n_dofs, n)
    Eigen::VectorXd residual;
    int n_rounds = 0;     ///< rounds of enrichment
    bool is_real = false; ///< K_loss was a multiple of K and nothing depends on frequency: φ is the real shape
};

/// Follows every real mode into the lossy, frequency-dependent problem. The space starts as the real modes (where
/// layers change much over the band, also those of the stiffness lower down; where losses are large, also those above)
/// and grows for up to four modes at a time by (K_re − μM)⁻¹ of their residuals, μ amid their λ; Rayleigh–Ritz in
/// between. Each mode is solved with the properties at its own frequency, f = √(Re λ)/2π, to 1e-12. The modes are the
/// lowest by Re λ, as many as real ones; each stands where the real mode is that it is most like, those like none in
/// ascending order.
/// @param real  modes of (K, M) by lowest_modes(): λ ascending and mass-normalised φ, rigid modes included
/// @throws DomainError  sizes or options do not fit
/// @throws SolverError  a residual stays above 100 × tolerance, two modes run into one, or a layer's stiffness is not
/// positive
[[nodiscard]] ComplexModes complex_modes(const LossyProblem& problem, const EigenResult& real,
                                         const ComplexModesOptions& options = {});

} // namespace stillwall::solver
