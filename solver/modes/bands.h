#pragma once
// How far a frequency may lie off: first-order effect of every material's range.

#include "solver/modes/energy.h"

namespace stillwall::solver {

/// Relative shifts of a frequency that the materials' ranges allow, root of the sum of squares over independent figures.
struct Band
{
    double down = 0, up = 0; ///< [-], both ≥ 0
};

/// Figures taken as independent: each material's in-plane moduli (moving together), its transverse shear moduli (together),
/// its density. First order in the logarithms, which holds over wider ranges than first order in the figures themselves:
///     δ ln ω = S ln(end of range / typical),   S = ∂ln ω/∂ln p = (φᵀ K_p φ − λ φᵀ M_p φ) / (2 λ)
/// with K_p, M_p the derivatives by ln p, taken through the sections (central difference, step 10⁻³: exact to 10⁻⁶).
/// @source first-order eigenvalue derivative: Fox & Kapoor, AIAA J. 6 (1968) 2426
[[nodiscard]] std::vector<Band> frequency_bands(const Cabinet& cabinet, const Structure& structure,
                                                const std::vector<ModeEnergy>& energies, const Eigen::VectorXd& lambda);

} // namespace stillwall::solver
