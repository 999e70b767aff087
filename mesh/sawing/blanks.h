#pragma once
// What boards glued up from several sheets are sawn from.

#include "mesh/sawing/sheet_layout.h"

namespace stillwall {

/// How much larger than the finished board each sheet of it is sawn, both ways [m]: glued, it is sawn to size (common
/// practice, no source).
inline constexpr double glue_up_allowance = 10e-3;

/// The parts as they come off the boards that are bought: a part of one sheet as it is, one glued up as its sheets,
/// each with the allowance, called "NAME, sheet 1 of 2" from the −n face (inside, of a wall).
[[nodiscard]] std::vector<SawnPart> blanks_of(const std::vector<SawnPart>& parts);

} // namespace stillwall
