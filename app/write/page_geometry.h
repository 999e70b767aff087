#pragma once
// The cabinet and its shapes as the page of a run draws them: one JSON text with packed arrays.

#include "mesh/core/shell_mesh.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// A shape to draw and what the run's JSON calls it.
struct PageShape
{
    int number = 0;          ///< of the mode in the run's JSON
    Eigen::Index column = 0; ///< of the shapes
};

/// Boards, openings and rods in mm; the mesh with its nodes quantised to 16 bits of the bounding box; of each shape the
/// displacements quantised to 16 bits of its largest component, little-endian, base64.
///     x = low_mm + step_mm·u,  u = 0 … 65535;    displacement = scale·i,  i = −32767 … 32767
/// @param shapes  translations, shape (3 n_nodes, n)
/// @param wanted  the most important first: those that would make the text longer than `most_bytes` are left out
[[nodiscard]] std::string page_geometry(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes,
                                        const std::vector<PageShape>& wanted, std::size_t most_bytes = 1'800'000);

} // namespace stillwall::app
