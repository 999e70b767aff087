#pragma once
// Where the weight of a cabinet is, and how far it can be tilted.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

struct Stability
{
    Vector3d centre = Vector3d::Zero(); ///< [m] of mass, cabinet axes: boards, layers, rods, ribs, fittings
    double mass = 0;                    ///< [kg]
    double height = 0;                  ///< [m] of it over the ground
    double tipping_angle =
        0;                ///< [rad] smallest tilt at which it falls over, rigid on rigid ground; 0: it does not stand
    std::string towards;  ///< "front", "back", "left", "right": where it falls
    bool on_feet = false; ///< stands on feet of the bottom, else on the whole bottom
};

/// tan α = d/h over the sides of the convex hull of what stands on the ground, d the distance of the centre's foot
/// point from the side.
[[nodiscard]] Stability stability_of(const Cabinet& cabinet);

} // namespace stillwall
