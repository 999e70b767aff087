#pragma once
// From the cabinet and its meshes to something that can be played.

#include "solver/drive/played.h"

namespace stillwall::solver::internal {

struct Built
{
    Player player;
    std::vector<std::string> air_names; ///< per mode of the air
};

/// What is played: the meshed cabinet with its modes.
struct Parts
{
    const Cabinet& cabinet;
    const SoundSetting& setting;
    const SoundMeshes& meshes; ///< the air fitted to the fillings
    const ModesWork& walls;
};

/// Modes of the air are kept so far beyond the highest frequency.
inline constexpr double air_range = 1.2;

/// Cones, passive radiators, ports and bare holes, in the order of boards and openings; `frame` is still empty.
[[nodiscard]] std::vector<SourceModel> sources_of(const Cabinet& cabinet);

[[nodiscard]] std::vector<OpeningId> openings_of(const std::vector<SourceModel>& sources);

/// @param points  listeners, then the place where the level holds [m]
/// @param f_from, f_to  the band that will be asked [Hz]
/// @param result  its seconds and sizes are filled
[[nodiscard]] Built build_player(const Parts& parts, const RigidWallAir& rigid, const Points& points, double f_from,
                                 double f_to, SoundResult& result,
                                 const std::function<void(const std::string&, double)>& progress);

} // namespace stillwall::solver::internal
