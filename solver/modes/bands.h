#pragma once
// How far a frequency and a loss factor may lie off: first-order effect of every range.

#include "solver/modes/sensitivity.h"
#include "solver/modes/slope.h"

namespace stillwall::solver {

/// Relative shifts that the ranges allow, root of the sum of squares over independent figures; all ≥ 0.
struct Band
{
    double down = 0, up = 0;           ///< [-] of the frequency
    double loss_down = 0, loss_up = 0; ///< [-] of the loss factor
};

/// Derivatives of every mode by every uncertain figure, the figures taken as independent: each material's in-plane
/// moduli (moving together), its transverse shear moduli (together), its density, its loss; the stiffness and the loss
/// of each joint, support, driver mount, rear tie and basket; the stiffness of each driver's flange, and the share of
/// its mass that lies along the rim (the whole driver's mass, place and inertia held). A transverse shear modulus or a
/// loss that a stock has once for all its thicknesses is one figure of all boards of that stock (its part is the
/// stock's name): what is not known of it is the same for all. K_p, M_p, the derivatives by ln p, are taken through the
/// sections (central difference, step 10⁻³: exact to 10⁻⁶). The joints' laws are held: they depend on ratios of moduli
/// only, and weakly. Figures without a range are left out.
/// @param states  the structure at each mode's own frequency
[[nodiscard]] Sensitivity sensitivity_of(const Cabinet& cabinet, const Structure& structure,
                                         const std::vector<ModeEnergy>& energies, const std::vector<LossyMode>& modes,
                                         const std::vector<StructureState>& states);

/// First order in the logarithms, which holds over wider ranges than first order in the figures themselves:
///     δ ln ω = S ln(end of range / typical),   S = ∂ln ω/∂ln p;   the same for ln η
[[nodiscard]] std::vector<Band> bands_of(const Sensitivity& sensitivity);

/// The bands that the figures of one kind make alone: the squares of all kinds' logarithms sum to the whole's.
[[nodiscard]] std::vector<Band> bands_of(const Sensitivity& sensitivity, UncertainFigure::Kind kind);

} // namespace stillwall::solver
