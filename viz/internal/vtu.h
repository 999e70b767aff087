#pragma once
// The mesh and its modes for a general viewer, with VTK's own writer. Needs no display.

#include "viz/picture.h"

namespace stillwall::viz {

/// @throws RenderError  when the file cannot be written
void write_vtu_file(const Scene& scene, const std::vector<ModeFrame>& frames, const std::filesystem::path& file);

} // namespace stillwall::viz
