#pragma once
// What sits in an opening: driver, port or plate.

#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"
#include "mesh/core/plan.h"

namespace stillwall::app {

/// The `driver`, `port` or `plate` of an opening's part, or nothing.
/// @param opening  its name and board
/// @param boards   names that a driver's rear may touch
[[nodiscard]] InsertPlan read_insert(const YamlNode& part, const OpeningPlan& opening,
                                     const std::vector<std::string>& boards, const MaterialLibrary& library);

} // namespace stillwall::app
