#pragma once

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/learned.h"

namespace stillwall::app {

/// `learned`: a list of materials and drivers with factors.
[[nodiscard]] Learned read_learned(const YamlNode& list);

} // namespace stillwall::app
