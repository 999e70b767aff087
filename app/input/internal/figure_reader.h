#pragma once
// Figures as the files of the materials folder hold them: [low, typical, high], unit, source, confirmation.

#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"

namespace stillwall::app {

/// One figure; the key decides which units are possible.
/// @throws InputError
[[nodiscard]] Figure read_figure(const YamlNode& node, const std::string& key);

/// All figures of a map.
[[nodiscard]] FigureGroup read_group(const YamlNode& node, std::string label);

} // namespace stillwall::app
