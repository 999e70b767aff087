#include "solver/drive/sound.h"

#include "solver/drive/air_band.h"
#include "solver/drive/internal/build_player.h"
#include "solver/drive/internal/curves.h"
#include "solver/drive/internal/level_cases.h"
#include "solver/drive/line_name.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/parallel.h"
#include "solver/linalg/seconds.h"

#include <Eigen/Geometry>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Clock = std::chrono::steady_clock;
using SoundProgress = std::function<void(const std::string&, double)>;
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

/// Middle of all driven cones, and where their board looks.
struct Aim
{
    Vector3d middle = Vector3d::Zero(), normal = Vector3d::UnitY();
};

Aim aim_of(const Cabinet& cabinet, const SoundSetting& setting)
{
    Aim aim;
    int n = 0;
    for (const Way& way : setting.ways)
        for (const Way::Driver& d : way.drivers) {
            const Board& board = cabinet.board(d.board);
            aim.middle += board.frame.to_space(board.openings.at(static_cast<std::size_t>(d.opening)).centre);
            if (n++ == 0) aim.normal = board.frame.n;
        }
    if (n > 0) aim.middle /= n;
    return aim;
}

/// The ends of a window about a listener: swung about the upright through the cones' middle, and up and down.
std::vector<Vector3d> window_about(const Vector3d& at, const Aim& aim, const ListeningWindow& window)
{
    const Vector3d ray = at - aim.middle, side = ray.cross(Vector3d::UnitZ());
    std::vector<Vector3d> ends;
    const auto swing = [&](double angle, const Vector3d& axis) {
        if (angle > 0 && axis.norm() > 1e-9 * ray.norm())
            for (const double sign : {-1.0, 1.0})
                ends.push_back(aim.middle + Eigen::AngleAxisd(sign * angle, axis.normalized()) * ray);
    };
    swing(window.across, Vector3d::UnitZ());
    swing(window.up, side);
    return ends;
}

/// Points asked for and the places they stand for: listeners, all directions; and last where the level holds.
struct Hearers
{
    Points points;
    std::vector<internal::Place> places;

    [[nodiscard]] std::size_t all_round() const { return places.size() - 2; }
    [[nodiscard]] std::size_t level() const { return places.size() - 1; }
};

Hearers hearers_of(const Cabinet& cabinet, const SoundSetting& setting)
{
    const Aim aim = aim_of(cabinet, setting);
    std::vector<Vector3d> points;
    Hearers hearers;
    for (const Listener& listener : setting.listeners) {
        hearers.places.push_back({{static_cast<Index>(points.size())}});
        points.push_back(listener.at);
    }
    const auto level = static_cast<Index>(points.size());
    points.push_back(setting.level_at);
    for (std::size_t l = 0; l < setting.listeners.size(); ++l)
        for (const Vector3d& end : window_about(setting.listeners[l].at, aim, setting.window)) {
            if (setting.plane && setting.plane->normal.dot(end - setting.plane->point) <= 0) continue;
            hearers.places[l].points.push_back(static_cast<Index>(points.size()));
            points.push_back(end);
        }
    hearers.places.push_back({});
    hearers.places.push_back({{level}});
    hearers.points.resize(3, static_cast<Index>(points.size()));
    for (std::size_t i = 0; i < points.size(); ++i) hearers.points.col(static_cast<Index>(i)) = points[i];
    return hearers;
}

/// The band over which the level is told: as set; else the usual one, or where the cabinet works when that is
/// elsewhere.
Range level_band(const SoundSetting& setting, const internal::Reference& reference, std::size_t place,
                 const Range& range)
{
    Range band{std::clamp(setting.level_from, range.from, range.to), 0};
    band.to = std::clamp(setting.level_to, band.from, range.to);
    const double least = reference.best(place) / std::sqrt(10.0);
    if (setting.level_dB || reference.over(place, band.from, band.to) >= least) return band;
    Range works{range.to, range.from};
    for (const double f : reference.frequencies())
        if (reference.at(place, f) >= least) works = {std::min(works.from, f), std::max(works.to, f)};
    return works;
}

constexpr double p_0 = 20e-6; // [Pa]

/// Volts that the setting asks for, and the level they make.
void set_drive_level(const SoundSetting& setting, const internal::Reference& reference, std::size_t place,
                     const Range& range, SoundResult& result)
{
    const Range band = level_band(setting, reference, place, range);
    result.level_from = band.from;
    result.level_to = band.to;
    const double per_volt = reference.over(place, band.from, band.to);
    result.volts =
        setting.level_dB ? p_0 * std::pow(10, *setting.level_dB / 20) / per_volt : setting.volts.value_or(2.83);
    result.level_dB = 20 * std::log10(result.volts * per_volt / p_0);
}

/// Other speakers of the system as one small source in the middle of the cones, alike to all sides: p² falls with the
/// square of the way, and its power is Ω r² p²/(ρc), Ω = 4π, 2π before a plane.
void add_rest(const Cabinet& cabinet, const SoundSetting& setting, const Hearers& hearers, double volts,
              internal::Reference& reference)
{
    if (!setting.rest) return;
    const RestOfSystem rest = *setting.rest;
    const Aim aim = aim_of(cabinet, setting);
    const Air air = air_at(cabinet.temperature);
    const double p = p_0 * std::pow(10, rest.level_dB / 20) / volts;
    const double solid_angle = (setting.plane ? 2 : 4) * std::numbers::pi;
    reference.add([&](std::size_t place, double f) {
        if (f < rest.from || f > rest.to) return 0.0;
        const std::vector<Index>& points = hearers.places[place].points;
        if (points.empty()) return solid_angle * p * p / (air.density * air.sound_speed);
        return p * p / (Vector3d(hearers.points.col(points.front())) - aim.middle).squaredNorm();
    });
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

/// Resonances played at their own frequencies, and about them those that come near to being heard.
struct NearPlayed
{
    std::vector<std::vector<Played>> played;
    std::vector<char> is_near;
};

NearPlayed play_near(const Player& player, const internal::HearingSetting& hearing, const Range& range,
                     const std::vector<LoadedMode>& resonances)
{
    // Under the strict line: a sharper look adds a dB or two, another frequency or loss ten or twenty.
    constexpr double far_off_dB = -30;
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
    return {std::move(near), std::move(is_near)};
}

internal::HearingSetting hearing_of(const Cabinet& cabinet, const SoundSetting& setting, const Hearers& hearers,
                                    const internal::Reference& reference)
{
    internal::HearingSetting hearing;
    hearing.places.assign(hearers.places.begin(), hearers.places.end() - 1);
    hearing.reference = [&reference](std::size_t place, double f) { return reference.at(place, f); };
    // Where a way is cut off, its own last breath is no sound to be held against: other speakers play there.
    const double least = reference.best(hearers.all_round()) / 10; // −20 dB
    hearing.is_in_band = [&reference, least, place = hearers.all_round()](double f) {
        return reference.at(place, f) >= least;
    };
    for (const Way& way : setting.ways) hearing.way_names.push_back(way.name);
    for (const Board& board : cabinet.boards) hearing.board_names.push_back(board.name);
    return hearing;
}

/// @param sensitivity  of the walls
void hear_all(const Player& player, const internal::HearingSetting& hearing, const Range& range,
              const Sensitivity& sensitivity, std::vector<LoadedMode>& resonances, SoundResult& result)
{
    const NearPlayed near = play_near(player, hearing, range, resonances);
    const auto cases =
        internal::level_cases(player, hearing, resonances, near.is_near, sensitivity, range.from, range.to);
    internal::for_each_item(resonances.size(), [&](std::size_t i) {
        const bool is_air = resonances[i].mode.kind == SoundMode::Kind::Air;
        internal::hear(player, hearing, near.played[i],
                       is_air ? internal::air_cases(resonances[i].mode.Q, hearing.places.size()) : cases[i],
                       resonances[i]);
    });
    for (const auto& played : near.played) result.n_frequencies += static_cast<int>(played.size());
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
void play(const Player& player, const Cabinet& cabinet, const SoundSetting& setting, const Hearers& hearers,
          const Range& range, const Sensitivity& sensitivity, std::vector<LoadedMode> resonances, SoundResult& result)
{
    const std::vector<Played> asked = play_all(player, setting.frequencies);
    internal::Reference reference(
        is_dense_grid(setting.frequencies) ? asked : play_all_still(player, reference_grid(range)), hearers.places);
    set_drive_level(setting, reference, hearers.level(), range, result);
    add_rest(cabinet, setting, hearers, result.volts, reference);
    internal::fill_curves(player, setting, reference, asked, static_cast<int>(cabinet.boards.size()), result);
    const internal::HearingSetting hearing = hearing_of(cabinet, setting, hearers, reference);
    hear_all(player, hearing, range, sensitivity, resonances, result);
    result.n_frequencies += static_cast<int>(setting.frequencies.size());
}

/// Everything after the walls' own modes.
void play_walls(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                const AnalysedWalls& walls, RigidWallAir rigid, const Range& range, const SoundProgress& progress,
                SoundResult& result)
{
    const Hearers hearers = hearers_of(cabinet, setting);
    auto [player, air_names] = internal::build_player({cabinet, setting, meshes, walls.work}, rigid, hearers.points,
                                                      range.from, range.to, result, progress);
    set_sizes(player, meshes.air, walls.result, result);
    for (const SourceModel& m : player.cabinet.sources) result.sources.push_back(m.source);

    const auto start = Clock::now();
    progress("playing", 0.82);
    std::vector<LoadedMode> resonances =
        internal::wall_resonances(player, walls.work.lambda, walls.result.modes, range.from, range.to);
    const AirFineness fineness{std::cbrt(player.cabinet.air.volume / std::max(result.n_air, 1))};
    const LineNames line_names(cabinet, meshes.air);
    for (LoadedMode& r : internal::air_resonances(player, air_names, range.from, range.to)) {
        if (const auto name = line_names.name(player.cabinet.air.Psi * r.y)) r.mode.name = *name;
        if (r.mode.kind == SoundMode::Kind::Air)
            r.mode.band = air_band(r.mode.f_Hz, setting.fillings.empty() ? r.mode.f_Hz : r.open_Hz, fineness);
        resonances.push_back(std::move(r));
    }
    play(player, cabinet, setting, hearers, range, walls.result.sensitivity, std::move(resonances), result);
    result.seconds_response = seconds_since(start);
}

/// A single frequency gets a width, downwards: the meshes serve up to it.
Range range_of(const SoundSetting& setting)
{
    return {std::min(setting.frequencies.front(), setting.frequencies.back() / 1.01), setting.frequencies.back()};
}

SoundProgress shown_by(const SoundOptions& options)
{
    return [&options](const std::string& text, double fraction) {
        if (options.progress) options.progress(text, fraction);
    };
}

/// Of the cabinet's inside, with the modes it has between rigid walls.
RigidWallAir rigid_air(const Cabinet& cabinet, const AirMesh& fitted, const SoundSetting& setting, const Range& range,
                       SoundResult& result)
{
    const auto start = Clock::now();
    auto air = rigid_wall_air(cabinet, fitted, setting.fillings, internal::openings_of(internal::sources_of(cabinet)),
                              internal::air_range * range.to);
    result.seconds_air = seconds_since(start);
    return air;
}

} // namespace

SoundResult analyse_sound(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                          const SoundOptions& options)
{
    const SoundProgress progress = shown_by(options);
    SoundResult result;
    result.frequency = setting.frequencies;
    const Range range = range_of(setting);

    // Side by side: the modes of the walls and those of the air inside.
    const auto start = Clock::now();
    const internal::OneBlasThread one_thread;
    const AirMesh fitted = fit_to_fillings(cabinet, meshes.air, setting.fillings);
    internal::Aside<RigidWallAir> rigid([&] { return rigid_air(cabinet, fitted, setting, range, result); });
    ModesOptions modes_options;
    modes_options.f_max = wall_range * range.to;
    modes_options.progress = [&](const std::string& text, double fraction) { progress(text, 0.35 * fraction); };
    ModesWork work;
    ModesResult walls = analyse_modes(cabinet, meshes.shell, modes_options, &work);
    result.seconds_walls = seconds_since(start);
    const SoundMeshes fitted_meshes{meshes.shell, fitted, meshes.outer, meshes.outer_top};
    play_walls(cabinet, setting, fitted_meshes, {walls, work}, rigid.get(), range, progress, result);
    result.wall_modes = std::move(walls.modes);
    result.sensitivity = std::move(walls.sensitivity);
    result.shapes = std::move(walls.shapes);
    result.drawn = std::move(walls.drawn);
    warn(setting, range, result);
    progress("done", 1.0);
    return result;
}

SoundResult play_sound(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                       const AnalysedWalls& walls, const SoundOptions& options)
{
    SoundResult result;
    result.frequency = setting.frequencies;
    const Range range = range_of(setting);
    const internal::OneBlasThread one_thread;
    const AirMesh fitted = fit_to_fillings(cabinet, meshes.air, setting.fillings);
    const SoundMeshes fitted_meshes{meshes.shell, fitted, meshes.outer, meshes.outer_top};
    play_walls(cabinet, setting, fitted_meshes, walls, rigid_air(cabinet, fitted, setting, range, result), range,
               shown_by(options), result);
    warn(setting, range, result);
    return result;
}

} // namespace stillwall::solver
