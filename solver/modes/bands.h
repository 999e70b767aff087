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
/// its density.
///     δω/ω = (φᵀ δK φ − λ φᵀ δM φ) / (2 λ)
/// with δK, δM the change of the sections from the typical figure to the end of its range.
/// @source first-order eigenvalue derivative: Fox & Kapoor, AIAA J. 6 (1968) 2426
[[nodiscard]] std::vector<Band> frequency_bands(const Cabinet& cabinet, const Structure& structure,
                                                const std::vector<ModeEnergy>& energies, const Eigen::VectorXd& lambda);

} // namespace stillwall::solver
