#pragma once

#include "mesh/cabinet/cabinet.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// The figures of a cabinet's materials with range, source and how they were confirmed: an array of objects. Boards of
/// one stock in several thicknesses are materials of their own.
[[nodiscard]] nlohmann::ordered_json materials_json(const Cabinet& cabinet);

} // namespace stillwall::app
