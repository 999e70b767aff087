#include "solver/drive/unplayed.h"

#include "solver/drive/air_basis.h"
#include "solver/drive/air_mode_name.h"

#include <algorithm>

namespace stillwall::solver {

SoundResult unplayed_sound(const Cabinet& cabinet, ModesResult walls, const AirMesh& mesh, double f_top)
{
    constexpr double air_Q = 30, at_rest = 1; // [-], [Hz]: uniform pressure
    SoundResult result;
    result.frequency = {f_top};
    for (std::size_t m = 0; m < walls.modes.size(); ++m) {
        const Mode& wall = walls.modes[m];
        SoundMode mode;
        mode.kind = Resonance::Kind::Wall;
        mode.name = wall.shape_name;
        mode.f_Hz = wall.f_Hz;
        mode.Q = wall.Q;
        mode.wall = static_cast<int>(m);
        result.modes.push_back(std::move(mode));
    }
    const RigidWallAir air = rigid_wall_air(cabinet, mesh, {}, {}, f_top);
    const std::vector<std::string> names =
        air_mode_names(mesh, air.Psi.leftCols(air.mode_Hz.size()), chamber_names(cabinet, mesh));
    for (Eigen::Index m = 0; m < air.mode_Hz.size(); ++m) {
        if (air.mode_Hz[m] < at_rest || air.mode_Hz[m] > f_top) continue;
        SoundMode mode;
        mode.kind = Resonance::Kind::Air;
        mode.name = names[static_cast<std::size_t>(m)];
        mode.f_Hz = air.mode_Hz[m];
        mode.Q = air_Q;
        result.modes.push_back(std::move(mode));
    }
    std::stable_sort(result.modes.begin(), result.modes.end(),
                     [](const SoundMode& a, const SoundMode& b) { return a.f_Hz < b.f_Hz; });
    result.n_wall_modes = static_cast<int>(walls.modes.size());
    result.wall_modes = std::move(walls.modes);
    result.sensitivity = std::move(walls.sensitivity);
    result.shapes = std::move(walls.shapes);
    result.drawn = std::move(walls.drawn);
    return result;
}

} // namespace stillwall::solver
