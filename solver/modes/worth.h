#pragma once
// What each part of the cabinet is worth: derivatives of every mode by what a builder can change.

#include "mesh/core/shell_mesh.h"

#include <string>
#include <vector>

namespace stillwall::solver {

/// Derivative of one mode by some parameter p.
struct Slope
{
    double ln_f = 0; ///< ∂ln f/∂p
    double loss = 0; ///< ∂η/∂p
};

/// Something a builder can change. The parameter p is in the unit told; `step` is a change worth talking about, in the
/// same unit.
struct Knob
{
    enum class Kind
    {
        Thickness,        ///< [m] of a board, outer sizes kept: what lies against it moves
        Modulus,          ///< [ln] all moduli of a board
        Density,          ///< [ln] of a board
        Loss,             ///< [-] loss factor of a board, added
        LayerThickness,   ///< [m] of one ply of a layer
        LayerModulus,     ///< [ln] of one ply of a layer, or of a film inside a board
        LayerLoss,        ///< [-] likewise, added
        JointStiffness,   ///< [ln] all springs of a joint
        JointLoss,        ///< [-] added
        SupportStiffness, ///< [ln]
        DriverMass,       ///< [kg] inertia goes with it where it was estimated; a basket's legs stay
        BasketStiffness,  ///< [ln] of a driver's basket, along the axis and against rocking
        BracePosition     ///< [m] along the brace's normal axis: x, y or z growing; a slanted one along its normal
    };
    Kind kind = Kind::Thickness;
    std::string part; ///< name of the board, layer, joint, support, driver
    std::string ply;  ///< material of the ply, numbered where there are several; empty for other kinds
    double step = 0;
    double mass_step = 0; ///< [kg] what the step adds to the cabinet
};

struct Worth
{
    std::vector<Knob> knobs;
    std::vector<std::vector<Slope>> slopes; ///< [knob][mode]
    std::vector<std::string> left_out;      ///< one sentence each: what has no derivative, and why
};

} // namespace stillwall::solver
