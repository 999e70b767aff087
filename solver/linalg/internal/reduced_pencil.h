#pragma once
// The lossy problem in the coordinates of an M-orthonormal basis: (K + iL + Σ s_j(f) K_j − λ) c = 0, small and dense.

#include "solver/linalg/internal/lossy_operator.h"

#include <vector>

namespace stillwall::solver::internal {

struct ReducedPencil
{
    Eigen::MatrixXd K, L;                ///< symmetric, shape (m, m)
    std::vector<Eigen::MatrixXd> change; ///< one per dependent stiffness

    [[nodiscard]] Eigen::Index size() const { return K.cols(); }
    [[nodiscard]] Eigen::MatrixXd real_part(const Eigen::VectorXcd& s) const;
    [[nodiscard]] Eigen::MatrixXd imaginary_part(const Eigen::VectorXcd& s) const;
};

/// A mode in the coordinates of a basis, cᵀc = 1 without conjugation.
struct ReducedMode
{
    Eigen::VectorXcd c;
    std::complex<double> lambda;
};

/// Scales to cᵀc = 1.
/// @throws SolverError  cᵀc nearly vanishes: two modes have become one
void normalise(Eigen::VectorXcd& c);

/// |aᴴb| / (|a||b|): 1 for the same mode.
[[nodiscard]] double likeness(const Eigen::VectorXcd& a, const Eigen::VectorXcd& b);

/// λ = cᵀ K*(f) c at f = √(Re λ)/2π, with cᵀc = 1.
/// @throws SolverError  no frequency fits
[[nodiscard]] std::complex<double> rayleigh(const LossyOperator& op, const ReducedPencil& reduced,
                                            const Eigen::VectorXcd& c, std::complex<double> start);

/// Rayleigh-quotient iteration for one mode, properties at its own frequency.
/// @param n_steps  at most; ends earlier when λ stands still to 1e-11
/// @return false when it ran to another mode; the mode is then unchanged
/// @source Parlett, Math. Comput. 28 (1974) 679; bilinear form: Arbenz & Hochstenbach, SIAM J. Sci. Comput. 25 (2004)
/// 1655
[[nodiscard]] bool iterate(const LossyOperator& op, const ReducedPencil& reduced, int n_steps, ReducedMode& mode);

/// The same for modes so close that one's step turns into another: one step of inverse iteration for each, then
/// Rayleigh–Ritz in the span of old and new vectors at their common frequency. Leaves as many modes as it was given, in
/// any order.
void iterate_together(const LossyOperator& op, const ReducedPencil& reduced, std::vector<ReducedMode*> modes);

/// Eigenpairs of the complex A, by Re λ ascending; c of unit length.
struct ComplexPairs
{
    Eigen::VectorXcd lambda;
    Eigen::MatrixXcd c;
};
[[nodiscard]] ComplexPairs complex_eigen(Eigen::MatrixXcd A);

} // namespace stillwall::solver::internal
