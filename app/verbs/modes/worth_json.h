#pragma once
// What each part is worth, for programs.

#include "app/verbs/modes/modes_report.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// Every knob with its slopes and the first-order outcome of its step, for every mode.
/// @throws SolverError when a figure is not finite
[[nodiscard]] nlohmann::ordered_json worth_json(const solver::Worth& worth, const solver::ModesResult& result);

} // namespace stillwall::app
