#pragma once
// A parsed cabinet file, or one that was changed, → CabinetPlan.

#include "app/input/internal/read_schemes.h"
#include "solver/drive/box_tuning.h"

namespace stillwall::app {

/// @param workshop  filled when not null and the file says something of it
/// @throws InputError
[[nodiscard]] CabinetPlan read_plan(const YamlDocument& document, const MaterialLibrary& library,
                                    WorkshopPlan* workshop);

/// Tunings that ports of an accepted file give instead of a length.
[[nodiscard]] std::vector<solver::PortTuning> read_tunings(const YamlDocument& document);

} // namespace stillwall::app
