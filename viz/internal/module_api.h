#pragma once
// What the drawing module offers to the loader: two functions with C names, so that they can be found by
// name after dlopen. Both sides are built together and share the C++ types.

#include "viz/picture.h"

extern "C" {

/// Draws on the display that DISPLAY names; options.on_picture is called after each picture.
/// @throws stillwall::RenderError
void stillwall_viz_write_pictures(const stillwall::viz::Scene& scene,
                                  const std::vector<stillwall::viz::ModeFrame>& frames,
                                  const std::vector<std::filesystem::path>& files, const std::filesystem::path& sheet,
                                  const stillwall::viz::PictureOptions& options);

/// @throws stillwall::RenderError
void stillwall_viz_write_vtu(const stillwall::viz::Scene& scene, const std::vector<stillwall::viz::ModeFrame>& frames,
                             const std::filesystem::path& file);
}
