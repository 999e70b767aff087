#pragma once
// A small cabinet meshed by hand, for the picture tests: six walls, a round hole in the front, and a
// shelf with a rectangular window; structured nine-node quads with shared nodes where boards meet.

#include "viz/picture.h"

namespace stillwall::viz::test {

struct BoxScene
{
    ShellMesh mesh;
    Scene scene; ///< points to `mesh`: not to be copied apart

    BoxScene();
    BoxScene(const BoxScene&) = delete;
    BoxScene& operator=(const BoxScene&) = delete;

    static constexpr double width = 0.24, depth = 0.30, height = 0.42; ///< [m]
};

/// Half-waves of each board along its two sides, and their amplitude along the board's normal.
struct BoardWave
{
    int m = 1, n = 1;
    double amplitude = 0;
};

/// u = Σ_boards amplitude · sin(m π s) sin(n π t) · normal, with s, t from 0 to 1 over the board: zero on all
/// corners of the box, so that it is continuous. `waves` in the order front, right, back, left, bottom,
/// top, shelf. Shape (3, n_nodes).
[[nodiscard]] Eigen::Matrix3Xd waves_on_boards(const BoxScene& box, const std::array<BoardWave, 7>& waves);

} // namespace stillwall::viz::test
