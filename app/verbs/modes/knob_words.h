#pragma once
// How a change a builder can make is said.

#include "mesh/cabinet/cabinet.h"
#include "solver/modes/worth.h"

#include <string>

namespace stillwall::app {

/// The part as the table names it: "left", "joint back panel", "sheets (left): bitumen" when the layer has several
/// plies.
[[nodiscard]] std::string knob_part(const solver::Knob& knob, const Cabinet& cabinet);

/// The step in a workshop's words: "1 mm thicker", "10 % stiffer", "twice as stiff", "100 g heavier", "10 mm up",
/// "loss factor +0.01".
[[nodiscard]] std::string knob_change(const solver::Knob& knob, const Cabinet& cabinet);

/// Its kind for programs: "thickness", "layer_modulus", …
[[nodiscard]] std::string knob_kind(solver::Knob::Kind kind);

/// The unit of its parameter: "m", "kg", "1" or "ln" (of a ratio).
[[nodiscard]] std::string knob_unit(solver::Knob::Kind kind);

} // namespace stillwall::app
