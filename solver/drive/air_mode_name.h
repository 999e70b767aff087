#pragma once
// Words for a standing wave inside.

#include "mesh/core/air_mesh.h"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace stillwall::solver {

/// Compares the pressure of each mode with products of cosines over the bounding box of its chamber (a rectangular
/// room's modes) and names the nearest: "air: half a wave along the height", "air: a whole wave along the height, half
/// along the depth, in the chamber of midrange"; "air: a wave of its own" when the nearest holds less than half of it.
/// Uniform pressure: "tuning of the box", "tuning of the chamber of midrange". A mode belongs to the chamber that holds
/// 95 % of it, one of several chambers to none.
/// @param p  at the mesh's nodes, any scale, a mode a column
/// @param chambers  names of the mesh's chambers, see chamber_names()
[[nodiscard]] std::vector<std::string> air_mode_names(const AirMesh& mesh, const Eigen::MatrixXd& p,
                                                      const std::vector<std::string>& chambers);

/// Names that Chambers gives to the mesh's chambers, in the mesh's order.
[[nodiscard]] std::vector<std::string> chamber_names(const Cabinet& cabinet, const AirMesh& mesh);

} // namespace stillwall::solver
