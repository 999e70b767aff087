#pragma once
// Figures of a cabinet file: one value, or [low, typical, high].

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/material.h"

namespace stillwall::app {

/// Limits of a loss factor [-].
inline constexpr Limits loss_limits{0, 2};

/// One value, which is then its own range, or three in rising order; in SI units.
[[nodiscard]] Quantity read_quantity(const YamlNode& node, Dimension dimension, Limits limits);

/// A loss factor, likewise.
[[nodiscard]] Quantity read_loss_quantity(const YamlNode& node);

} // namespace stillwall::app
