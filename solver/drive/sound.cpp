#include "solver/drive/sound.h"

#include "solver/drive/internal/build_player.h"
#include "solver/drive/internal/curves.h"
#include "solver/drive/internal/hearing.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/parallel.h"
#include "solver/linalg/seconds.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

namespace stillwall::solver {
namespace {

using Clock = std::chrono::steady_clock;
using Eigen::Index;
using internal::LoadedMode;
using internal::seconds_since;

constexpr double wall_range =
    1.05; ///< modes of the walls kept beyond the highest frequency; beyond them the static response stands
constexpr int reference_per_octave = 24; ///< of the direct sound's smoothing

/// The band in which anything is asked.
struct Range
{
    double from = 0, to = 0;
};

std::vector<double> reference_grid(const Range& range)
{
    std::vector<double> f;
    for (int i = 0; range.from * std::pow(2, double(i) / reference_per_octave) < range.to; ++i)
        f.push_back(range.from * std::pow(2, double(i) / reference_per_octave));
    f.push_back(range.to);
    return f;
}

/// Fine and even enough to smooth the direct sound over.
bool is_dense_grid(const std::vector<double>& f)
{
    const double widest = std::pow(2, 1.01 / reference_per_octave), narrowest = std::pow(2, 0.2 / reference_per_octave);
    for (std::size_t i = 0; i + 2 < f.size(); ++i) // the last step may be cut short by the range's end
        if (f[i + 1] / f[i] > widest || f[i + 1] / f[i] < narrowest) return false;
    return f.size() > 2 && f.back() / f[f.size() - 2] < widest;
}

Points points_of(const SoundSetting& setting)
{
    Points points(3, static_cast<Index>(setting.listeners.size()) + 1);
    for (std::size_t l = 0; l < setting.listeners.size(); ++l)
        points.col(static_cast<Index>(l)) = setting.listeners[l].at;
    points.rightCols(1) = setting.level_at;
    return points;
}

/// Volts that the setting asks for, and the level they make.
void set_drive_level(const SoundSetting& setting, const internal::Reference& reference, const Range& range,
                     SoundResult& result)
{
    constexpr double p_0 = 20e-6; // [Pa]
    result.level_from = std::clamp(setting.level_from, range.from, range.to);
    result.level_to = std::clamp(setting.level_to, result.level_from, range.to);
    const double per_volt =
        reference.over(static_cast<Index>(setting.listeners.size()), result.level_from, result.level_to);
    result.volts =
        setting.level_dB ? p_0 * std::pow(10, *setting.level_dB / 20) / per_volt : setting.volts.value_or(2.83);
    result.level_dB = 20 * std::log10(result.volts * per_volt / p_0);
}

void warn(const SoundSetting& setting, const Range& range, SoundResult& result)
{
    if (setting.level_dB && (setting.level_from < range.from || setting.level_to > range.to))
        result.warnings.push_back(
            "the level's band reaches beyond the computed frequencies; only the common part counts");
    constexpr double most_volts = 500; // as the file's `volts` allows
    if (setting.level_dB && result.volts > most_volts)
        result.warnings.push_back(fmt::format("the level needs {:.0f} V, which no amplifier gives and no driver "
                                              "stands; levels and motion are those of ideal ones",
                                              result.volts));
    if (result.radiation_error > 0.05)
        result.warnings.push_back("the sound outside is interpolated over frequency with an error over 5 %");
}

/// Plays each resonance at its own frequency, and about it those that come near to being heard.
std::vector<std::vector<Played>> play_near(const Player& player, const internal::HearingSetting& hearing,
                                           const Range& range, const std::vector<LoadedMode>& resonances)
{
    constexpr double far_off_dB = -25; // under the strict line: a sharper look adds a dB or two
    std::vector<double> own_Hz, beside_Hz;
    for (const LoadedMode& r : resonances)
        own_Hz.push_back(internal::frequencies_near(r.mode, range.from, range.to)[1]);
    std::vector<Played> own = play_all(player, own_Hz);
    std::vector<char> is_near(resonances.size(), 0);
    internal::for_each_item(resonances.size(), [&](std::size_t i) {
        is_near[i] = resonances[i].mode.kind != SoundMode::Kind::Port &&
                     over_strict_dB(player, hearing, own[i], resonances[i]) > far_off_dB;
    });
    for (std::size_t i = 0; i < resonances.size(); ++i) {
        if (!is_near[i]) continue;
        const auto f = internal::frequencies_near(resonances[i].mode, range.from, range.to);
        beside_Hz.insert(beside_Hz.end(), {f[0], f[2]});
    }
    std::vector<Played> beside = play_all(player, beside_Hz);
    std::vector<std::vector<Played>> near(resonances.size());
    auto next = beside.begin();
    for (std::size_t i = 0; i < resonances.size(); ++i) {
        if (is_near[i]) near[i].push_back(std::move(*next++));
        near[i].push_back(std::move(own[i]));
        if (is_near[i]) near[i].push_back(std::move(*next++));
    }
    return near;
}

void hear_all(const Player& player, const Cabinet& cabinet, const SoundSetting& setting,
              const internal::Reference& reference, const Range& range, std::vector<LoadedMode>& resonances,
              SoundResult& result)
{
    internal::HearingSetting hearing;
    hearing.n_listeners = static_cast<Index>(setting.listeners.size());
    hearing.reference = [&](Index l, double f) { return reference.at(l, f); };
    for (const Way& way : setting.ways) hearing.way_names.push_back(way.name);
    for (const Board& board : cabinet.boards) hearing.board_names.push_back(board.name);
    const auto near = play_near(player, hearing, range, resonances);
    internal::for_each_item(resonances.size(),
                            [&](std::size_t i) { internal::hear(player, hearing, near[i], resonances[i]); });
    for (const auto& played : near) result.n_frequencies += static_cast<int>(played.size());
    for (const LoadedMode& r : resonances) result.modes.push_back(r.mode);
    std::stable_sort(result.modes.begin(), result.modes.end(),
                     [](const SoundMode& a, const SoundMode& b) { return a.f_Hz < b.f_Hz; });
}

void set_sizes(const Player& player, const AirMesh& air, const ModesResult& walls, SoundResult& result)
{
    result.n_shell = walls.n_unknowns;
    result.n_air = air.n_nodes();
    result.radiation_error = player.radiation.error_estimate();
    result.net_volume = player.cabinet.air.volume;
    constexpr double at_rest = 1; // [Hz] each chamber has one mode of uniform pressure
    result.n_chambers = static_cast<int>((player.cabinet.air.mode_Hz.array() < at_rest).count());
    result.n_wall_modes = static_cast<int>(player.cabinet.walls.size());
    result.n_air_modes = static_cast<int>(player.cabinet.air.size());
}

/// The curves asked for and every resonance.
void play(const Player& player, const Cabinet& cabinet, const SoundSetting& setting, const Range& range,
          std::vector<LoadedMode> resonances, SoundResult& result)
{
    const std::vector<Played> asked = play_all(player, setting.frequencies);
    const std::vector<Played> dense =
        is_dense_grid(setting.frequencies) ? std::vector<Played>() : play_all(player, reference_grid(range));
    const internal::Reference reference(dense.empty() ? asked : dense,
                                        static_cast<Index>(setting.listeners.size()) + 1);
    set_drive_level(setting, reference, range, result);
    internal::fill_curves(player, setting, reference, asked, static_cast<int>(cabinet.boards.size()), result);
    hear_all(player, cabinet, setting, reference, range, resonances, result);
    result.n_frequencies += static_cast<int>(setting.frequencies.size());
}

} // namespace

SoundResult analyse_sound(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                          const SoundOptions& options)
{
    const auto progress = [&](const std::string& text, double fraction) {
        if (options.progress) options.progress(text, fraction);
    };
    SoundResult result;
    result.frequency = setting.frequencies;
    // A single frequency gets a width, downwards: the meshes serve up to it.
    const Range range{std::min(setting.frequencies.front(), setting.frequencies.back() / 1.01),
                      setting.frequencies.back()};

    // Side by side: the modes of the walls and those of the air inside.
    auto start = Clock::now();
    const internal::OneBlasThread one_thread;
    const AirMesh fitted = fit_to_fillings(cabinet, meshes.air, setting.fillings);
    internal::Aside<RigidWallAir> rigid([&] {
        auto air = rigid_wall_air(cabinet, fitted, setting.fillings,
                                  internal::openings_of(internal::sources_of(cabinet)), internal::air_range * range.to);
        result.seconds_air = seconds_since(start);
        return air;
    });
    ModesOptions modes_options;
    modes_options.f_max = wall_range * range.to;
    modes_options.progress = [&](const std::string& text, double fraction) { progress(text, 0.35 * fraction); };
    ModesWork work;
    ModesResult walls = analyse_modes(cabinet, meshes.shell, modes_options, &work);
    result.seconds_walls = seconds_since(start);
    const SoundMeshes fitted_meshes{meshes.shell, fitted, meshes.outer, meshes.outer_top};
    auto [player, air_names] = internal::build_player({cabinet, setting, fitted_meshes, work}, rigid.get(),
                                                      points_of(setting), range.from, range.to, result, progress);
    set_sizes(player, fitted, walls, result);
    for (const SourceModel& m : player.cabinet.sources) result.sources.push_back(m.source);

    start = Clock::now();
    progress("playing", 0.82);
    std::vector<LoadedMode> resonances =
        internal::wall_resonances(player, work.lambda, walls.modes, range.from, range.to);
    for (LoadedMode& r : internal::air_resonances(player, air_names, range.from, range.to))
        resonances.push_back(std::move(r));
    play(player, cabinet, setting, range, std::move(resonances), result);
    result.seconds_response = seconds_since(start);
    result.wall_modes = std::move(walls.modes);
    result.sensitivity = std::move(walls.sensitivity);
    result.shapes = std::move(walls.shapes);
    result.drawn = std::move(walls.drawn);
    warn(setting, range, result);
    progress("done", 1.0);
    return result;
}

} // namespace stillwall::solver
