#include "solver/drive/internal/hearing.h"

#include "solver/drive/internal/reason.h"
#include "solver/linalg/dense_lu.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXcd;
using Kind = SoundMode::Kind;

constexpr double silent_dB = -200;

OwnMotion wall_motion(const Played& played, const VectorXcd& y)
{
    return {y * (y.transpose() * played.walls)(0), VectorXcd::Zero(played.sources.size())};
}

/// The pressure of one mode of the air pushes cones and ports, everything else at rest.
OwnMotion air_motion(const Player& player, const Played& played, const VectorXcd& y)
{
    const Coupled& cabinet = player.cabinet;
    const VectorXcd a = y * (y.transpose() * (cabinet.air.compressibility(played.f_Hz) * played.air))(0);
    const Index n_sources = player.columns.n_sources;
    const VectorXcd push = -source_columns(cabinet).transpose() * a;
    const VectorXcd x =
        DenseLu(source_system(cabinet, played.f_Hz, played.source_load.bottomRows(n_sources))).solve(push);
    return {VectorXcd::Zero(played.walls.size()), x.head(n_sources)};
}

OwnMotion own_motion(const Player& player, const Played& played, const LoadedMode& resonance)
{
    return resonance.mode.kind == Kind::Wall ? wall_motion(played, resonance.y)
                                             : air_motion(player, played, resonance.y);
}

Complex sound_of(const Played& played, const OwnMotion& own, Index point)
{
    return played.sound(point, 0, own.walls) + played.sound(point, own.walls.size(), own.sources);
}

struct Peak
{
    double f_Hz = 0, value = 0;
};

/// 1/|x|² of a resonance is a parabola in frequency: its vertex from three points; the largest point where that fails.
Peak peak_of(const std::vector<double>& f, const std::vector<double>& x)
{
    const auto at = static_cast<std::size_t>(std::max_element(x.begin(), x.end()) - x.begin());
    const Peak largest{f[at], x[at]};
    if (f.size() != 3 || !(*std::min_element(x.begin(), x.end()) > 0)) return largest;
    const double y0 = 1 / (x[0] * x[0]), y1 = 1 / (x[1] * x[1]), y2 = 1 / (x[2] * x[2]);
    const double a = ((y2 - y1) / (f[2] - f[1]) - (y1 - y0) / (f[1] - f[0])) / (f[2] - f[0]);
    if (!(a > 0)) return largest;
    const double b = (y1 - y0) / (f[1] - f[0]) - a * (f[0] + f[1]), vertex = -b / (2 * a);
    const double least = y1 + (vertex - f[1]) * (b + a * (vertex + f[1]));
    if (vertex < f[0] || vertex > f[2] || !(least > 0)) return largest;
    return {vertex, 1 / std::sqrt(least)};
}

Heard heard_as(const SoundMode& mode, double level_dB, std::span<const LevelCase> cases, std::size_t place)
{
    Heard heard{level_dB, mode.Q, mode.f_Hz, mode.T60_s, {}, true};
    for (const LevelCase& c : cases)
        heard.possible.push_back({c.weight, std::max(level_dB + c.change_dB[place], silent_dB), c.Q});
    return heard;
}

/// Level and verdict at every place.
std::vector<ModeAtListener> levels(const Player& player, const HearingSetting& setting, std::span<const Played> near,
                                   std::span<const LevelCase> cases, const LoadedMode& resonance)
{
    const SoundMode& mode = resonance.mode;
    std::vector<OwnMotion> own;
    std::vector<MatrixXcd> Z;
    std::vector<double> f;
    for (const Played& played : near) {
        own.push_back(own_motion(player, played, resonance));
        Z.push_back(player.load(played.f_Hz));
        f.push_back(played.f_Hz);
    }
    std::vector<ModeAtListener> all;
    for (std::size_t p = 0; p < setting.places.size(); ++p) {
        std::vector<double> x;
        for (std::size_t i = 0; i < near.size(); ++i)
            x.push_back(std::sqrt(square_against_direct(setting, near[i], Z[i], own[i], p)));
        const Peak peak = peak_of(f, x);
        ModeAtListener at;
        at.level_dB = peak.value > 1e-10 ? 20 * std::log10(peak.value) : silent_dB;
        at.peak_Hz = peak.f_Hz;
        Heard heard = heard_as(mode, at.level_dB, cases, p);
        heard.is_in_band = setting.is_in_band(mode.f_Hz);
        at.verdict = judge_heard(heard);
        at.listener = setting.places[p].points.empty() ? std::nullopt : std::optional<int>(static_cast<int>(p));
        all.push_back(at);
    }
    return all;
}

const ModeAtListener& worst_of(const std::vector<ModeAtListener>& heard)
{
    return *std::min_element(heard.begin(), heard.end(), is_worse);
}

/// The point that stands for a place: of all directions the first listener.
Index point_of(const HearingSetting& setting, const ModeAtListener& heard)
{
    return setting.places[static_cast<std::size_t>(heard.listener.value_or(0))].points.front();
}

/// The board or the source that most of it comes from, at the worst listener.
void set_origin(const Player& player, const HearingSetting& setting, const Played& played, LoadedMode& resonance)
{
    SoundMode& mode = resonance.mode;
    const Index listener = point_of(setting, *mode.worst);
    const OwnMotion own = own_motion(player, played, resonance);
    double most = -1;
    if (mode.kind == Kind::Wall) {
        for (std::size_t b = 0; b < player.columns.boards.size(); ++b) {
            const double p = std::abs(played.sound(listener, player.columns.of_board(b), own.walls));
            if (p > most) most = p, mode.part = setting.board_names[static_cast<std::size_t>(player.columns.boards[b])];
        }
        return;
    }
    for (std::size_t s = 0; s < player.cabinet.sources.size(); ++s) {
        const auto i = static_cast<Index>(s);
        const double p = std::abs(played.sound(listener, player.columns.n_walls + i, own.sources.segment(i, 1)));
        if (p > most) most = p, mode.part = player.cabinet.sources[s].source.name;
    }
}

void set_drive(const Player& player, const Played& played, LoadedMode& resonance)
{
    const Push push = drive_on(player, played, resonance.y);
    resonance.mode.driver = push.driver;
    if (!(std::abs(push.all()) > 0)) return;
    resonance.mode.force_share = (push.force / push.all()).real();
    resonance.mode.pressure_share = 1 - resonance.mode.force_share;
}

/// See Wrinkle.
void set_wrinkles(const Player& player, const HearingSetting& setting, const Played& played, LoadedMode& resonance)
{
    SoundMode& mode = resonance.mode;
    const bool is_wall = mode.kind == Kind::Wall;
    const double omega = 2 * std::numbers::pi * played.f_Hz;
    const VectorXcd shape =
        is_wall ? resonance.y : VectorXcd(player.cabinet.air.compressibility(played.f_Hz) * resonance.y);
    const Complex per_answer = (is_wall ? 1.0 : -1.0) * (resonance.lambda - omega * omega) / Complex(0, omega);
    for (std::size_t w = 0; w < setting.way_names.size(); ++w) {
        const auto i = static_cast<Index>(w);
        const Complex x = (shape.transpose() * (is_wall ? played.way_walls : played.way_air).col(i)).value();
        const Complex Z = played.impedance[i], change = Z - 1.0 / (1.0 / Z + x * x * per_answer);
        mode.wrinkles.push_back({setting.way_names[w], std::abs(change), std::arg(change),
                                 std::abs(change / played.impedance_still[i]), played.f_Hz});
    }
}

} // namespace

std::array<double, 3> frequencies_near(const SoundMode& mode, double f_from, double f_to)
{
    const double step = std::min(0.35 / mode.Q, 0.2) * mode.f_Hz;
    const double middle = std::clamp(mode.f_Hz, f_from + 0.01 * step, f_to - 0.01 * step);
    return {std::max(middle - step, f_from), middle, std::min(middle + step, f_to)};
}

double square_against_direct(const HearingSetting& setting, const Played& played, const MatrixXcd& Z,
                             const OwnMotion& own, std::size_t place)
{
    const std::vector<Index>& points = setting.places[place].points;
    double square = 0;
    if (points.empty()) {
        VectorXcd v(own.walls.size() + own.sources.size());
        v << own.walls, own.sources;
        square = std::max(radiated_power(Z, v), 0.0);
    } else {
        for (const Index point : points) square += std::norm(sound_of(played, own, point));
        square /= static_cast<double>(points.size());
    }
    const double reference = setting.reference(place, played.f_Hz);
    return square / (reference * reference);
}

Push drive_on(const Player& player, const Played& played, const VectorXcd& y)
{
    const Coupled& cabinet = player.cabinet;
    const Complex jw(0, 2 * std::numbers::pi * played.f_Hz);
    Push push;
    push.pressure = (y.transpose() * (cabinet.C.transpose() * played.air_still))(0) -
                    (y.transpose() * (played.source_load.topRows(cabinet.walls.size()) * played.sources_still))(0);
    double most = 0;
    for (Index s = 0; s < player.columns.n_sources; ++s) {
        const SourceModel& m = cabinet.sources[static_cast<std::size_t>(s)];
        if (!m.cone) continue;
        const Complex f = -jw * m.moving_mass * (m.frame * y).value() * played.sources_still[s];
        push.force += f;
        if (std::abs(f) > most) most = std::abs(f), push.driver = m.source.name;
    }
    return push;
}

double over_strict_dB(const Player& player, const HearingSetting& setting, const Played& played,
                      const LoadedMode& resonance)
{
    const std::vector<ModeAtListener> heard = levels(player, setting, {&played, 1}, {}, resonance);
    double most = silent_dB;
    for (const ModeAtListener& at : heard) most = std::max(most, at.verdict.over_strict_dB);
    return most;
}

void hear(const Player& player, const HearingSetting& setting, std::span<const Played> near,
          std::span<const LevelCase> cases, LoadedMode& resonance)
{
    SoundMode& mode = resonance.mode;
    const Played& middle = near[near.size() / 2];
    if (mode.kind != Kind::Port) {
        mode.heard = levels(player, setting, near, cases, resonance);
        mode.worst = worst_of(mode.heard);
        set_origin(player, setting, middle, resonance);
    }
    if (mode.kind == Kind::Wall) set_drive(player, middle, resonance);
    if (mode.kind != Kind::Port) set_wrinkles(player, setting, middle, resonance);
    mode.reason = reason_of(mode);
}

} // namespace stillwall::solver::internal
