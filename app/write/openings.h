#pragma once
// Openings in words.

#include "mesh/cabinet/cabinet.h"

#include <string>

namespace stillwall::app {

/// Shape and size in mm, e.g. "round 150", "200 × 80", "200 × 80 corners r 20", "slot 120 × 30".
[[nodiscard]] std::string opening_size(const Opening& opening);

} // namespace stillwall::app
