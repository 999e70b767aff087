#pragma once
// The meshes of a played cabinet.

#include "app/workers/sound_sizes.h"
#include "app/write/progress.h"
#include "solver/drive/sound.h"

namespace stillwall::app {

/// The air inside and the outside, and the sizes they were made with.
struct AroundWalls
{
    AirMesh air;
    std::vector<OuterMesh> outer;
    std::vector<OuterLevel> levels;
    double air_size = 0; ///< [m]

    [[nodiscard]] solver::SoundMeshes with(const ShellMesh& shell) const;
};

/// @throws MeshError
[[nodiscard]] AroundWalls mesh_around(const Cabinet& cabinet, double f_high, Accuracy accuracy, Progress& progress);

struct Meshes : AroundWalls
{
    ShellMesh shell;
    double shell_size = 0; ///< [m]

    [[nodiscard]] solver::SoundMeshes for_solver() const { return with(shell); }
};

/// @param f_high  [Hz] highest frequency asked for
/// @throws MeshError
[[nodiscard]] Meshes mesh_all(const Cabinet& cabinet, double f_high, Accuracy accuracy, Progress& progress);

} // namespace stillwall::app
