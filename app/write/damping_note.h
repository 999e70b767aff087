#pragma once
// What must be said of damping layers outside the temperatures their tables know.

#include "mesh/cabinet/cabinet.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// One sentence for each damping material of the cabinet whose table ends before the cabinet's temperature.
[[nodiscard]] std::vector<std::string> damping_notes(const Cabinet& cabinet);

} // namespace stillwall::app
