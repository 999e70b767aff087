#pragma once
// A mode shape in words.

#include "solver/modes/analysis.h"

namespace stillwall::solver {

/// Half-waves of a board's normal displacement along its two axes through its strongest point, and whether it moves
/// as one (mean over root mean square, signed).
struct BoardMotion
{
    int waves_1 = 1, waves_2 = 1;
    double mean = 0; ///< signed mean / rms of the normal displacement, −1…1, outward positive
    double rms = 0;
};

[[nodiscard]] BoardMotion board_motion(const Cabinet& cabinet, const ShellMesh& mesh, int board,
                                       const Eigen::Matrix3Xd& displacement);

/// The board that moves most, by mean square of its normal displacement times its area, or two that move alike:
/// "right and left bulge together, 1×1", "front 2×1".
[[nodiscard]] std::string shape_name(const Cabinet& cabinet, const ShellMesh& mesh,
                                     const Eigen::Matrix3Xd& displacement);

} // namespace stillwall::solver
