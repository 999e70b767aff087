#pragma once
// The air as a solid of Gmsh's OpenCASCADE kernel: the inner hull less all that stands in it.

#include "mesh/gmsh/internal/air_shapes.h"

#include <vector>

namespace stillwall::mesh {

/// Draws the air in the open Gmsh model and returns the tags of its volumes.
/// Throws MeshError when nothing is left; Gmsh's own errors come as std::string.
[[nodiscard]] std::vector<int> draw_air(const Cabinet& cabinet, const std::vector<AirBrace>& braces,
                                        const std::vector<AirBody>& bodies, const std::vector<AirLayer>& layers);

} // namespace stillwall::mesh
