#pragma once
// An insert as bodies: its flange along the rim, and what hangs on it.

#include "mesh/cabinet/plan.h"

namespace stillwall::solver::internal {

/// Masses, places along the axis (depth behind the board's mid-plane, positive inwards) and inertias. Together they
/// have the insert's mass, centre of mass and inertia, as long as the flange's part of the inertia leaves the motor a
/// tenth of its share.
struct DriverBodies
{
    double rim_mass = 0;          ///< [kg] spread along the rim, in the board's mid-plane
    double mass = 0;              ///< [kg] of the rest: the motor, or the whole insert without a basket
    double depth = 0;             ///< [m] of its centre of mass
    double axial = 0, radial = 0; ///< [kg·m²] about the axis; across it, through its centre of mass
    [[nodiscard]] double rocking() const { return radial + mass * depth * depth; } ///< [kg·m²] about the rim's middle
    double k_axial = 0, k_rock = 0; ///< [N/m] along the axis, [N·m] per radian about the rim's middle; 0 without basket
};

/// @param width   [m] smaller side of the opening
/// @param radius  [m] of the rim, root of the mean square
///     k_axial = m (2π f_a)²,   k_rock = (J + m d²) (2π f_r)²,   d the depth of the motor's centre of mass
/// The flange really lies on the board's face. Hung there on the rim's own turning it would make the free edge of a
/// thick board too soft (2 to 3 % in frequency with 1.5 kg on a 30 mm front, against 3-D elasticity with the mass over
/// the hole's face or over a ring of 8 mm round it); in the mid-plane it is 0.3 and 1 to 2 % off.
[[nodiscard]] DriverBodies bodies_of(const InsertPlan& insert, double width, double radius);

/// ∂ln/∂ln s of what hangs on the basket, s the share of the mass along the rim: of the motor's mass, and of its
/// inertia about the axis and about lines across it through the rim's middle. Its moment, mass times depth, stays.
struct ShareSlopes
{
    double mass = 0, axial = 0, radial = 0;
};
/// @param insert  with a basket whose share is > 0 and leaves the motor some mass; otherwise all 0
[[nodiscard]] ShareSlopes share_slopes(const InsertPlan& insert, double width, double radius);

} // namespace stillwall::solver::internal
