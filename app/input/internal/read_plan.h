#pragma once
// A parsed cabinet file, or one that was changed, → CabinetPlan.

#include "app/input/internal/read_schemes.h"

namespace stillwall::app {

/// @param workshop  filled when not null and the file says something of it
/// @throws InputError
[[nodiscard]] CabinetPlan read_plan(const YamlDocument& document, const MaterialLibrary& library,
                                    WorkshopPlan* workshop);

} // namespace stillwall::app
