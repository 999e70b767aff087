#pragma once
// One file of materials/fixings or materials/filling → ways of joining, mounting and standing; porous stuff.

#include "app/input/material_file.h"

namespace stillwall::app {

/// Appends what the file holds.
/// @throws InputError
void read_fixing_file(const std::filesystem::path& file, std::vector<Fixing>& fixings);

} // namespace stillwall::app
