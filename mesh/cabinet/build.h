#pragma once
// From the description to boards in space, and the drawing's bookkeeping.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

/// Resolves a plan into flat boards, junctions, openings, rods, ribs, layers and supports.
/// @throws InputError with the plan's position when the description does not make a cabinet:
///         thickness outside 1 mm to 200 mm, outline that crosses itself, walls thicker than the box,
///         hole outside its board or cutting its edge, tangent or overlapping holes, brace outside the
///         box or touching nothing, unknown board name, rib or rod off its board, layer thicker than its board, off it
///         or over another layer, joint said twice or between boards that do not meet, driver's rear away from the
///         board it touches.
[[nodiscard]] Cabinet build_cabinet(const CabinetPlan& plan);

/// Cut list, masses, volumes. Volumes are exact for plane boards; a window's and a hole's edges are
/// taken square to the board.
[[nodiscard]] Bookkeeping bookkeeping(const Cabinet& cabinet);

} // namespace stillwall
