#pragma once
// Saw cuts that let a board bend.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/plan.h"

namespace stillwall::app {

/// `boards.NAME.kerfs`: changes the wall's lay-up, which must be known, as its grain.
/// @throws InputError on a board that is not curved or has no grain given, and when the cuts do not fit the board
void read_kerfs(const YamlNode& kerfs, const std::string& board, CabinetPlan& plan);

} // namespace stillwall::app
