#pragma once
// How a driver's frame carries its motor.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/plan.h"

namespace stillwall::app {

/// The `basket` of a driver, what is missing estimated from the hole and the mass; nothing for `rigid`. Where the key
/// is missing, one of no told kind is assumed, but none for what is shut behind, weighs nothing or sits in a small
/// hole.
/// @param insert  read so far: mass, ring stiffness, closed back
/// @throws InputError
[[nodiscard]] std::optional<Basket> read_basket(const YamlNode& driver, const OpeningPlan& opening,
                                                const InsertPlan& insert);

} // namespace stillwall::app
