#pragma once
// Stiffness of a screw between two pieces of wood.

namespace stillwall {

/// Slip modulus of a screw in shear, timber to timber, one shear plane.
///
///     K = ρ^1.5 d / 23 N/mm,   ρ in kg/m³, d in mm
///
/// It is a slip under service load; at the small amplitudes of sound it may be half or twice that.
/// @param rho  density [kg/m³], > 0; of two different woods the root of their product
/// @param d    diameter of the screw [m], > 0
/// @return     stiffness [N/m]
/// @throws     DomainError if a parameter is not greater than 0
/// @source     EN 1995-1-1 clause 7.1, Table 7.1 (from memory)
[[nodiscard]] double screw_shear_stiffness(double rho, double d);

} // namespace stillwall
