#pragma once

#include "mesh/core/shell_mesh.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// Where a shape moves its boards most, as solver/modes/antinode.h finds it: an array of objects.
/// @param displacement  shape (3, n_nodes)
[[nodiscard]] nlohmann::ordered_json antinodes_json(const Cabinet& cabinet, const ShellMesh& mesh,
                                                    const Eigen::Matrix3Xd& displacement);

/// The array for column `index` of shapes (3 n_nodes, n) that may have been left out; empty then.
[[nodiscard]] nlohmann::ordered_json antinodes_json(const Cabinet& cabinet, const ShellMesh& mesh,
                                                    const Eigen::MatrixXd& shapes, std::size_t index);

} // namespace stillwall::app
