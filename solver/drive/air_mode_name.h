#pragma once
// Words for a standing wave inside.

#include "mesh/core/air_mesh.h"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace stillwall::solver {

/// Compares the pressure of each mode with products of cosines over the air's bounding box (a rectangular room's modes)
/// and names the nearest: "air: half a wave along the height", "air: a whole wave along the height, half along the
/// depth"; "air: a wave of its own" when the nearest holds less than half of it. Uniform pressure: "air spring".
/// @param p  at the mesh's nodes, any scale, a mode a column
[[nodiscard]] std::vector<std::string> air_mode_names(const AirMesh& mesh, const Eigen::MatrixXd& p);

} // namespace stillwall::solver
