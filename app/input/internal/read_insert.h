#pragma once
// What sits in an opening: driver, passive radiator, port or plate.

#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/plan.h"

namespace stillwall::app {

/// The `driver`, `passive_radiator`, `port` or `plate` of an opening's part, or nothing.
/// @param opening  its name, board and size
/// @param plan     boards that a driver's rear may touch, and their thickness
[[nodiscard]] InsertPlan read_insert(const YamlNode& part, const OpeningPlan& opening, const CabinetPlan& plan,
                                     const MaterialLibrary& library);

/// `tuning` of a port [Hz].
[[nodiscard]] double read_tuning(const YamlNode& node);

} // namespace stillwall::app
