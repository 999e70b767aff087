#pragma once
// The cabinet's wood in few coordinates: its modes, and its static response to what will push it.

#include "solver/modes/analysis.h"

namespace stillwall::solver {

/// u ≈ V x with VᵀMV = 1. Galerkin: Vᵀ K*(f) V keeps losses and layers that change with frequency as they are.
struct WallBasis
{
    struct Dependent
    {
        Eigen::MatrixXd K; ///< shape (n, n), per unit of `change`
        std::function<std::complex<double>(double f_Hz)> change;
    };
    Eigen::MatrixXd V;         ///< shape (n_dofs, n)
    Eigen::MatrixXd K, K_loss; ///< shape (n, n) [rad²/s²]
    std::vector<Dependent> dependent;
    Eigen::MatrixXcd modes; ///< the lossy modes' coordinates, φ = V y; shape (n, n_modes)

    [[nodiscard]] Eigen::Index size() const { return V.cols(); }
    /// Vᵀ(K* − ω²M)V.
    [[nodiscard]] Eigen::MatrixXcd dynamic_stiffness(double f_Hz) const;
};

/// The space holds the real modes, what of the lossy ones' real and imaginary parts lies over 1e-4 beyond them, and the
/// static response to the loads, so that what lies above the modes' range still answers with its stiffness.
/// @param loads  forces on the unknowns, shape (n_dofs, cases)
/// @source residual vectors: J. M. Dickens, J. M. Nakagawa, M. J. Wittbrodt, Comput. Struct. 62 (1997) 985
[[nodiscard]] WallBasis wall_basis(const ModesWork& work, const Eigen::MatrixXd& loads);

} // namespace stillwall::solver
