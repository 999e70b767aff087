#pragma once
// A material written in the cabinet file.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/material.h"

namespace stillwall::app {

/// Isotropic (`E`), orthotropic (`E1` …) or a soft layer (`table`), by which keys are there.
/// @throws InputError, MaterialError
[[nodiscard]] Material read_own_material(const std::string& name, const YamlNode& node);

} // namespace stillwall::app
