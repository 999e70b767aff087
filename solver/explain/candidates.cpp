#include "solver/explain/candidates.h"

#include "mesh/cabinet/air.h"
#include "solver/air/port.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

/// One standard deviation of ln p of every figure, as it is at a mode's frequency.
VectorXd figure_errors(const Sensitivity& s, Index mode)
{
    return (s.to_high.row(mode) - s.to_low.row(mode)).transpose() / (2 * range_deviations);
}

constexpr Index n_common = 2; ///< entries of θ that are no figure: the speed of sound, what moves all walls alike

/// Slopes of a wave of the air.
VectorXd waves(const SoundResult& sound, const Doubt& doubt)
{
    VectorXd slopes = VectorXd::Zero(sound.sensitivity.n_figures() + n_common);
    slopes[sound.sensitivity.n_figures()] = doubt.sound_speed;
    return slopes;
}

void set_band(Candidate& c)
{
    c.f_band = std::sqrt(c.slopes.squaredNorm() + c.f_error * c.f_error);
}

Candidate wall_candidate(const SoundResult& sound, const SoundMode& mode, const Doubt& doubt)
{
    const Mode& wall = sound.wall_modes[static_cast<std::size_t>(*mode.wall)];
    const Sensitivity& s = sound.sensitivity;
    const VectorXd errors = figure_errors(s, *mode.wall);
    Candidate c;
    c.cause = wall.moves_whole ? Cause::Rocking : !wall.on_basket.empty() ? Cause::Driver : Cause::Wall;
    c.slopes = VectorXd::Zero(s.n_figures() + n_common);
    c.slopes.head(s.n_figures()) = s.ln_f.row(*mode.wall).transpose().cwiseProduct(errors);
    c.slopes.tail(1).setConstant(doubt.walls_f);
    c.f_error = doubt.wall_f;
    c.Q_error = std::hypot(s.ln_loss.row(*mode.wall).transpose().cwiseProduct(errors).norm(), doubt.wall_Q);
    c.ohm_error = doubt.wall_ohm;
    for (const BoardShare& share : wall.boards) c.boards.push_back(share.kinetic);
    return c;
}

Candidate air_candidate(const SoundResult& sound, const SoundMode& mode, bool is_filled, const Doubt& doubt)
{
    const bool is_tuning = mode.kind == SoundMode::Kind::Port;
    Candidate c;
    c.cause = is_tuning ? Cause::Port : Cause::Air;
    c.slopes = waves(sound, doubt);
    c.f_error = is_tuning ? doubt.port_f : is_filled ? doubt.air_filled_f : doubt.air_f;
    c.Q_error = doubt.air_Q;
    c.ohm_error = doubt.air_ohm;
    return c;
}

/// Half waves along the tubes of ports; bare holes are too short to hold one in the band.
std::vector<Candidate> pipe_candidates(const Cabinet& cabinet, const SoundResult& sound, const Doubt& doubt)
{
    std::vector<Candidate> pipes;
    for (const Source& source : sound.sources) {
        if (source.kind != Source::Kind::Port) continue;
        const Board& board = cabinet.board(source.board);
        const Port port = port_of(board, board.openings[static_cast<std::size_t>(source.opening)]);
        Candidate c;
        c.kind = Resonance::Kind::Port;
        c.cause = Cause::Port;
        c.name = fmt::format("{}: half a wave along its tube", source.name);
        c.f_Hz = Air{}.sound_speed / (2 * (port.length() + 1.46 * std::sqrt(port.area() / std::numbers::pi)));
        c.Q = doubt.pipe_Q;
        c.ohm = doubt.pipe_ohm;
        c.slopes = waves(sound, doubt);
        c.f_error = doubt.pipe_f;
        c.Q_error = doubt.pipe_Q_error;
        c.ohm_error = doubt.pipe_ohm_error;
        pipes.push_back(std::move(c));
    }
    return pipes;
}

std::vector<Candidate> driver_candidates(const FeaturesResult& free_air, Index n_slopes, const Doubt& doubt)
{
    const auto wider = [](double error, const Known& k) { return std::hypot(error, k.error / k.value); };
    std::vector<Candidate> own;
    for (const Feature& feature : free_air.features) {
        Candidate c;
        c.kind = Resonance::Kind::Driver;
        c.cause = Cause::Driver;
        c.name = "the driver itself: its free-air sweep shows it too";
        c.f_Hz = feature.f_Hz.value;
        c.Q = feature.Q.value;
        c.ohm = feature.ohm.value;
        c.slopes = VectorXd::Zero(n_slopes);
        c.f_error = wider(doubt.driver_f, feature.f_Hz);
        c.Q_error = wider(doubt.driver_Q, feature.Q);
        c.ohm_error = wider(doubt.driver_ohm, feature.ohm);
        own.push_back(std::move(c));
    }
    return own;
}

/// Typical figures of what has no model (judgements, after common practice: a driver's own wrinkles have Q 3 to 20 and
/// a hundredth to a sixth of the impedance).
std::vector<Background> backgrounds_of(bool has_supports, bool is_swept, const Doubt& doubt)
{
    std::vector<Background> all;
    if (!has_supports)
        all.push_back({Cause::Rocking, "the cabinet on its feet or stand", 5, 60, doubt.rocking_rate, 6, 0.8, 0.1, 1});
    all.push_back({Cause::Driver,
                   is_swept ? "the driver itself, though its free-air sweep shows nothing there"
                            : "the driver itself (cone, surround, basket)",
                   300, 4000, is_swept ? doubt.driver_rate_swept : doubt.driver_rate, 8, 0.7, 0.25, 0.9});
    all.push_back({Cause::Nothing, "none of these", 1, 50e3, doubt.nothing_rate, 12, 1, 0.1, 1.2});
    return all;
}

} // namespace

Suspects suspects_of(const Cabinet& cabinet, const SoundResult& sound, std::size_t way, const FeaturesResult* free_air,
                     bool is_filled, const Doubt& doubt)
{
    Suspects suspects;
    suspects.figures = sound.sensitivity.figures;
    suspects.fidelities = doubt.fidelities;
    suspects.misfit_share = doubt.misfit_share;
    suspects.misfit_f = doubt.misfit_f;
    std::vector<Candidate>& all = suspects.candidates;
    for (std::size_t m = 0; m < sound.modes.size(); ++m) {
        const SoundMode& mode = sound.modes[m];
        Candidate c = mode.kind == SoundMode::Kind::Wall ? wall_candidate(sound, mode, doubt)
                                                         : air_candidate(sound, mode, is_filled, doubt);
        c.resonance = static_cast<int>(m);
        static_cast<Resonance&>(c) = mode;
        if (way < mode.wrinkles.size()) c.ohm = mode.wrinkles[way].ohm;
        all.push_back(std::move(c));
    }
    for (Candidate& c : pipe_candidates(cabinet, sound, doubt)) all.push_back(std::move(c));
    if (free_air != nullptr)
        for (Candidate& c : driver_candidates(*free_air, sound.sensitivity.n_figures() + n_common, doubt))
            all.push_back(std::move(c));
    for (Candidate& c : all) set_band(c);
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) { return a.f_Hz < b.f_Hz; });
    suspects.backgrounds = backgrounds_of(!cabinet.supports.empty(), free_air != nullptr, doubt);
    return suspects;
}

} // namespace stillwall::solver
