#pragma once
// What may not fit, by guessed sizes of drivers.

#include "mesh/cabinet/cabinet.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// Clashes that rest on estimates (mesh/cabinet/fit.h), each with its place: for the stream of warnings.
[[nodiscard]] std::vector<std::string> fit_notes(const Cabinet& cabinet);

} // namespace stillwall::app
