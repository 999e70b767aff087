#pragma once
// An insert as bodies: its flange along the rim, and what hangs on it.

#include "mesh/cabinet/plan.h"

namespace stillwall::solver::internal {

/// Masses, places along the axis (depth behind the board's mid-plane, positive inwards) and inertias. Together they
/// have the insert's mass, centre of mass and inertia, as long as the flange's part of the inertia leaves the motor a
/// tenth of its share.
struct DriverBodies
{
    double rim_mass = 0;            ///< [kg] spread along the rim, on the board's outer face
    double rim_depth = 0;           ///< [m]
    double mass = 0;                ///< [kg] of the rest: the motor, or the whole insert without a basket
    double depth = 0;               ///< [m] of its centre of mass
    double axial = 0, radial = 0;   ///< [kg·m²] about the axis; across it, through its centre of mass
    double k_axial = 0, k_rock = 0; ///< [N/m] along the axis, [N·m] per radian about the rim's middle; 0 without basket
};

/// @param width      [m] smaller side of the opening
/// @param radius     [m] of the rim, root of the mean square
/// @param thickness  [m] of the board
///     k_axial = m (2π f_a)²,   k_rock = (J + m d²) (2π f_r)²,   d from the rim's plane to the motor's centre of mass
[[nodiscard]] DriverBodies bodies_of(const InsertPlan& insert, double width, double radius, double thickness);

} // namespace stillwall::solver::internal
