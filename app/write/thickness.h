#pragma once
// Thicknesses from films to boards.

#include "app/write/numbers.h"
#include "mesh/cabinet/units.h"

namespace stillwall::app {

/// In mm; below one millimetre with as many places as a film needs.
[[nodiscard]] inline std::string thickness_mm(double thickness_m)
{
    return thickness_m < units::mm ? shortest(thickness_m / units::mm, 3) : in_mm(thickness_m);
}

} // namespace stillwall::app
