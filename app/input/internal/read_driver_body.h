#pragma once
// What a driver takes up: depth, magnet, flange, rebate, screws.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/plan.h"

namespace stillwall::app {

/// @param thickness  [m] of the board the driver sits in
/// @throws InputError also when a magnet does not pass the hole, a flange does not cover it, a rebate leaves too little
///         wood, or screws do not stand between hole and flange's edge
[[nodiscard]] DriverBody read_driver_body(const YamlNode& driver, const OpeningPlan& opening, double thickness);

} // namespace stillwall::app
