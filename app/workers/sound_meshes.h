#pragma once
// The meshes of a played cabinet.

#include "app/workers/sound_sizes.h"
#include "app/write/progress.h"
#include "solver/drive/sound.h"

namespace stillwall::app {

/// The meshes and the sizes they were made with.
struct Meshes
{
    ShellMesh shell;
    AirMesh air;
    std::vector<OuterMesh> outer;
    std::vector<OuterLevel> levels;
    double shell_size = 0, air_size = 0;

    [[nodiscard]] solver::SoundMeshes for_solver() const;
};

/// @param f_high  [Hz] highest frequency asked for
/// @throws MeshError
[[nodiscard]] Meshes mesh_all(const Cabinet& cabinet, double f_high, Accuracy accuracy, Progress& progress);

} // namespace stillwall::app
