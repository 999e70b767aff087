#pragma once
// A material written in the cabinet file.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/material.h"

#include <map>
#include <string>

namespace stillwall::app {

/// Isotropic (`E`), orthotropic (`E1` …) or a soft layer (`table`), by which keys are there.
/// @throws InputError, MaterialError
[[nodiscard]] Material read_own_material(const std::string& name, const YamlNode& node);

/// Those of the listed figures that are there, by the key written.
/// @throws InputError
[[nodiscard]] std::map<std::string, Quantity> read_some_figures(const YamlNode& node,
                                                                std::initializer_list<std::string_view> keys);

/// A figure's name in make_material() by its key in a cabinet file: "density" → "rho".
[[nodiscard]] std::string figure_name(std::string_view key);

} // namespace stillwall::app
