#pragma once
// How a driver's frame holds what it carries: part of the mass along the rim, the motor hanging behind on the basket.
//
// Three bodies instead of one: the flange (its mass spread along the rim, a ring of bending stiffness EI), the basket's
// legs as a spring with loss along the axis and against rocking, and the motor with all the rest of the mass.

#include "mesh/cabinet/material.h"

namespace stillwall {

/// Of a driver that hangs; one that is a single rigid body on the rim has none.
struct Basket
{
    enum class Kind
    {
        Untold,       ///< nothing is said of what it is made of: anything from pressed steel to a casting
        Cast,         ///< die-cast metal
        PressedSteel, ///< pressed sheet
        Polymer       ///< moulded plastics
    };
    Kind kind = Kind::Untold;
    Quantity rim_share;  ///< [-] of the driver's mass that lies along the rim, 0 … 1
    Quantity rim_EI;     ///< [N·m²] bending stiffness of the flange as a ring, ≥ 0
    Quantity axial_Hz;   ///< [Hz] motor along the axis with the flange held, > 0
    Quantity rocking_Hz; ///< [Hz] motor rocking with the flange held, > 0
    Quantity loss;       ///< [-] of the basket's legs, ≥ 0
};

} // namespace stillwall
