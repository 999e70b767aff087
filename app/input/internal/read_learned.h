#pragma once

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/learned.h"

namespace stillwall::app {

/// `learned`: a list of materials with factors.
[[nodiscard]] std::vector<LearnedMaterial> read_learned(const YamlNode& list);

} // namespace stillwall::app
