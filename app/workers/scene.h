#pragma once

#include "viz/picture.h"

namespace stillwall::app {

/// The cabinet as it is drawn; refers to the mesh.
[[nodiscard]] viz::Scene scene_of(const Cabinet& cabinet, const ShellMesh& mesh);

} // namespace stillwall::app
