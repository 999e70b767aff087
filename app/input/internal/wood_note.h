#pragma once
// Own materials that are told too little of: wood and boards said to be alike in every direction.

#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// A sentence with its place for each entry of `materials` that is given by E alone and has the density (300 to 1300
/// kg/m³) and modulus (1 to 16 GPa) of wood or board.
/// @param materials  as read without complaint before
[[nodiscard]] std::vector<std::string> wood_notes(const YamlNode& materials, const MaterialLibrary& library);

} // namespace stillwall::app
