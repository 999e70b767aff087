#pragma once
// Closed-form integrals of 1/r and its derivatives over a flat panel (k = 0).

#include "solver/radiation/surface.h"

namespace stillwall::solver::internal {

/// Ω(x) = ∫ (x − y)·n / r³ dS(y) [sr]; positive on the side of the normal; 0 in the panel's own plane (the principal
/// value).
/// @source van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125, for the one or two triangles of the panel
[[nodiscard]] double solid_angle(const Panel& panel, const Eigen::Vector3d& x);

/// The static integrals with the factor 1/4π, G₀ = 1/(4π r), r = |x − y|.
struct StaticIntegrals
{
    double single_layer = 0; ///< ∫ G₀ dS [m]
    double double_layer = 0; ///< ∫ ∂G₀/∂n_y dS [-]
    double double_slope = 0; ///< n_x·∇_x ∫ ∂G₀/∂n_y dS [1/m], finite part on the panel itself
};

/// Exact for every x off the panel's edges. Single layer from the edges (each edge: outward in-plane normal u, distance
/// d of the foot of x, f = ln[(r₁ + r₂ + l)/(r₁ + r₂ − l)] = ∫ dl/r):
///
///     ∫ dS/r = Σ d f − z Ω
///
/// The constant double layer is the solid angle; by Stokes' theorem its gradient is a line integral round the rim,
/// ∇Ω = −∮ dl × (x − y)/r³, in closed form for straight edges. It needs no limit on the panel itself, since x is off
/// the rim, and there it is the finite part of the hypersingular integral.
/// @source Wilton et al., IEEE Trans. Antennas Propag. 32 (1984) 276, for the single layer; the gradient derived here
[[nodiscard]] StaticIntegrals static_integrals(const Panel& panel, const Eigen::Vector3d& x,
                                               const Eigen::Vector3d& n_x);

} // namespace stillwall::solver::internal
