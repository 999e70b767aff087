#pragma once
// Sound in the air of a cabinet: finite elements of the pressure, and the modes between rigid walls.

#include "mesh/core/air_mesh.h"
#include "solver/linalg/eigen.h"

namespace stillwall::solver {

using Matrix10d = Eigen::Matrix<double, 10, 10>;

/// Matrices of one ten-node element for the pressure at its nodes:
///     H = ∫ ∇N·∇Nᵀ dV [m],   Q = (1/c²) ∫ N Nᵀ dV [m s²]
struct AirElement
{
    Matrix10d H, Q;
};

/// Exact for straight sides; with curved ones the rule of degree 5 leaves an error far below that of the shape
/// functions.
/// @param X  positions [m], node order of tet10.h
/// @param c  speed of sound [m/s], > 0
/// @throws MeshError when the element folds over
[[nodiscard]] AirElement air_element(const Eigen::Matrix<double, 3, 10>& X, double c);

/// H and Q of the whole mesh, one unknown per node. With rigid walls H p = ω² Q p; the air takes up the potential
/// energy pᵀQp/(2ρ) and the kinetic energy pᵀHp/(2ρω²).
struct AirMatrices
{
    SparseMatrix H; ///< [m] symmetric, positive semidefinite: constant pressure in a chamber costs nothing
    SparseMatrix Q; ///< [m s²] symmetric, positive definite; its sum is V/c²
};

/// Modes of the air between rigid walls below f_max: λ = ω² [rad²/s²], φᵀQφ = 1. The first is 0, once per
/// chamber: uniform pressure. All by the eigen-solver of the structure, complete by Sturm count.
/// @param f_max  [Hz], > 0
[[nodiscard]] EigenResult air_modes(const AirMatrices& matrices, double f_max);

} // namespace stillwall::solver
