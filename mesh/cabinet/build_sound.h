#pragma once
// What `sound` needs of a plan, resolved on the built cabinet.

#include "mesh/cabinet/cabinet.h"

#include <string_view>

namespace stillwall {

/// Listeners in space, ways by index, grid of frequencies, planes, fillings. Only `sound` asks for it, so a cabinet
/// without drivers' figures stays good for everything else.
/// @throws InputError with the plan's position: no driver has small-signal figures (says which keys to add), a way
/// names a missing
///         driver or one without figures, a driver stands in two ways, a listener inside the cabinet or nearer than 1
///         cm to it, or behind a plane, a port that runs out of the box (its inner end outside, or within half its
///         radius of a board), a filling on an unknown board, thicker than half the box or a region without room,
///         frequencies not ascending, zero volts, a cone larger than 1.5 times its hole
[[nodiscard]] SoundSetting build_sound(const CabinetPlan& plan, const Cabinet& cabinet);

/// All that build_sound() refuses of a plan and that is a fault of the cabinet, whether or not it will be played:
/// without drivers' figures tubes, fillings, drive and surroundings alone. Cones and ports inside are no fault: only
/// `sound` cannot compute them.
/// @throws InputError as build_sound()
void check_sound(const CabinetPlan& plan, const Cabinet& cabinet);

/// Longest tube [m] behind a hole of an outer wall, from the outer face: it keeps half its radius to the next board.
/// Drivers' bodies are not looked at. May be less than the board's thickness.
[[nodiscard]] double longest_tube(const Cabinet& cabinet, std::string_view opening);

} // namespace stillwall
