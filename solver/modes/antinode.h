#pragma once
// Where a mode moves its boards most: where to hold an accelerometer, press or knock.

#include "mesh/core/shell_mesh.h"

#include <array>
#include <vector>

namespace stillwall::solver {

struct Antinode
{
    /// Distance along the board from one of its edges as sawn.
    struct FromEdge
    {
        const char* edge = ""; ///< "left", "front" or "bottom": the board's lower end along x, y or z
        double distance = 0;   ///< [m]
    };
    int board = 0;
    Vector3d at = Vector3d::Zero(); ///< [m] on the mid-plane
    double motion = 0;              ///< [-] along the board's normal, of the largest of all boards; signed
    std::array<FromEdge, 2> from{}; ///< across, then upwards (flat boards: backwards)
};

/// The point of largest motion along the normal of each board that moves at least half as far as the one that moves
/// most; the largest first, at most three boards. Of points within 1 % of each other the first in the mesh counts.
/// @param displacement  [any scale] shape (3, n_nodes)
/// @return empty when nothing moves
[[nodiscard]] std::vector<Antinode> antinodes(const Cabinet& cabinet, const ShellMesh& mesh,
                                              const Eigen::Matrix3Xd& displacement);

} // namespace stillwall::solver
