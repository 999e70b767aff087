#include "solver/drive/internal/level_cases.h"

#include "solver/drive/air_band.h"
#include "solver/linalg/parallel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXcd;

constexpr double reach = 2.5;   ///< deviations walked to either side: 1.2 % lie beyond
constexpr int per_octave = 128; ///< 0.54 %: a wave of Q 100 spans two steps

/// A wall held still at one frequency.
struct Held
{
    double f_Hz = 0;
    Complex push, load;              ///< F; ΔD
    std::vector<double> per_squared; ///< per place: |sound|² or power per |x|², against the reference
};

/// Means of the logarithm's three-point rule (Gauss–Hermite).
struct Node
{
    double deviations, weight;
};
constexpr std::array<Node, 3> three_points{
    {{-std::numbers::sqrt3, 1.0 / 6}, {0, 2.0 / 3}, {std::numbers::sqrt3, 1.0 / 6}}};

/// One mode's stretch of the grid.
struct Walk
{
    std::size_t resonance = 0;
    WallDoubt doubt;
    std::vector<double> f_Hz; ///< its own first
    std::vector<Held> held;
};

/// The grid is common, so that walls that lie close together share its solutions.
std::vector<double> stretch(double f_Hz, const WallDoubt& doubt, double f_from, double f_to)
{
    std::vector<double> f{f_Hz};
    const double low = std::max(f_Hz * std::exp(-reach * doubt.ln_f), f_from),
                 high = std::min(f_Hz * std::exp(reach * doubt.ln_f), f_to);
    for (int i = static_cast<int>(std::ceil(per_octave * std::log2(low))); std::exp2(double(i) / per_octave) <= high;
         ++i)
        f.push_back(std::exp2(double(i) / per_octave));
    return f;
}

/// What all walks ask of one frequency.
void hold_all(const Player& player, const HearingSetting& setting, const std::vector<LoadedMode>& resonances,
              double f_Hz, const std::vector<Walk*>& walks, const std::vector<std::size_t>& places_in_walks)
{
    const MatrixXcd Z = player.load(f_Hz), columns = wall_columns(player.cabinet, f_Hz, Z);
    MatrixXcd pushes(columns.rows(), static_cast<Index>(walks.size()));
    for (std::size_t k = 0; k < walks.size(); ++k)
        pushes.col(static_cast<Index>(k)) = columns * resonances[walks[k]->resonance].y;
    const auto [still, answers] = player.play_still(f_Hz, Z, pushes);
    for (std::size_t k = 0; k < walks.size(); ++k) {
        const VectorXcd& y = resonances[walks[k]->resonance].y;
        const auto column = static_cast<Index>(k);
        Held& held = walks[k]->held[places_in_walks[k]];
        held.f_Hz = f_Hz;
        held.push = drive_on(player, still, y).all();
        held.load = load_on(player.cabinet, f_Hz, Z, y, pushes.col(column), answers.col(column));
        const OwnMotion own{y, VectorXcd::Zero(player.columns.n_sources)};
        for (std::size_t p = 0; p < setting.places.size(); ++p)
            held.per_squared.push_back(square_against_direct(setting, still, Z, own, p));
    }
}

/// Squared amplitude at resonance and its Q, the wood's loss scaled.
struct AtResonance
{
    double x_squared = 0, Q = 0;
};
AtResonance ring(const Held& held, double wood_loss, double factor)
{
    const double omega = 2 * std::numbers::pi * held.f_Hz,
                 width = wood_loss * factor * omega * omega + held.load.imag();
    const double least = 1e-6 * omega * omega; // a load that feeds a wall is rounding
    const double safe = std::max(width, least);
    return {std::norm(omega * held.push / safe), omega * omega / safe};
}

std::vector<LevelCase> cases_of(const Walk& walk, const LoadedMode& resonance, std::size_t n_places)
{
    const Held& own = walk.held.front();
    const AtResonance typical = ring(own, resonance.wood_loss, 1);
    std::vector<LevelCase> cases;
    for (std::size_t i = 1; i < walk.held.size(); ++i) {
        const Held& held = walk.held[i];
        const double d = std::log(held.f_Hz / own.f_Hz) / walk.doubt.ln_f;
        for (const Node& node : three_points) {
            const AtResonance now = ring(held, resonance.wood_loss, std::exp(node.deviations * walk.doubt.ln_loss));
            LevelCase one{node.weight * std::exp(-d * d / 2), now.Q, {}};
            for (std::size_t p = 0; p < n_places; ++p) {
                constexpr double nothing = 1e-40;
                one.change_dB.push_back(10 * std::log10((now.x_squared * held.per_squared[p] + nothing) /
                                                        (typical.x_squared * own.per_squared[p] + nothing)));
            }
            cases.push_back(std::move(one));
        }
    }
    return cases;
}

/// Of the wave of the air nearest in frequency; where there is none, of one that a perfect mesh would find.
double air_deviation_near(const std::vector<LoadedMode>& resonances, double f_Hz)
{
    double nearest = std::numeric_limits<double>::infinity(), deviation = deviation_of(air_band(f_Hz, f_Hz, {}));
    for (const LoadedMode& r : resonances) {
        if (r.mode.kind != SoundMode::Kind::Air || !r.mode.band) continue;
        const double apart = std::abs(std::log(r.mode.f_Hz / f_Hz));
        if (apart < nearest) nearest = apart, deviation = deviation_of(*r.mode.band);
    }
    return deviation;
}

} // namespace

WallDoubt wall_doubt(const Sensitivity& sensitivity, std::size_t mode, double air)
{
    WallDoubt doubt{air * air, 0};
    const auto m = static_cast<Index>(mode);
    for (Index p = 0; mode < static_cast<std::size_t>(sensitivity.n_modes()) && p < sensitivity.n_figures(); ++p) {
        const double deviation = (sensitivity.to_high(m, p) - sensitivity.to_low(m, p)) / (2 * range_deviations);
        doubt.ln_f += std::pow(sensitivity.ln_f(m, p) * deviation, 2);
        doubt.ln_loss += std::pow(sensitivity.ln_loss(m, p) * deviation, 2);
    }
    return {std::sqrt(doubt.ln_f), std::sqrt(doubt.ln_loss)};
}

std::vector<std::vector<LevelCase>> level_cases(const Player& player, const HearingSetting& setting,
                                                const std::vector<LoadedMode>& resonances,
                                                const std::vector<char>& wanted, const Sensitivity& sensitivity,
                                                double f_from, double f_to)
{
    std::vector<Walk> walks;
    for (std::size_t i = 0; i < resonances.size(); ++i) {
        const SoundMode& mode = resonances[i].mode;
        if (!wanted[i] || !mode.wall) continue;
        Walk walk{
            i,
            wall_doubt(sensitivity, static_cast<std::size_t>(*mode.wall), air_deviation_near(resonances, mode.f_Hz)),
            {},
            {}};
        walk.f_Hz = stretch(mode.f_Hz, walk.doubt, f_from, f_to);
        walk.held.resize(walk.f_Hz.size());
        walks.push_back(std::move(walk));
    }
    struct Asked
    {
        double f_Hz;
        std::size_t walk, place;
    };
    std::vector<Asked> asked;
    for (std::size_t w = 0; w < walks.size(); ++w)
        for (std::size_t i = 0; i < walks[w].f_Hz.size(); ++i) asked.push_back({walks[w].f_Hz[i], w, i});
    std::sort(asked.begin(), asked.end(), [](const Asked& a, const Asked& b) { return a.f_Hz < b.f_Hz; });
    std::vector<std::size_t> starts;
    for (std::size_t a = 0; a < asked.size(); ++a)
        if (a == 0 || asked[a].f_Hz != asked[a - 1].f_Hz) starts.push_back(a);
    for_each_item(starts.size(), [&](std::size_t s) {
        const std::size_t end = s + 1 < starts.size() ? starts[s + 1] : asked.size();
        std::vector<Walk*> those;
        std::vector<std::size_t> places;
        for (std::size_t a = starts[s]; a < end; ++a) {
            those.push_back(&walks[asked[a].walk]);
            places.push_back(asked[a].place);
        }
        hold_all(player, setting, resonances, asked[starts[s]].f_Hz, those, places);
    });
    std::vector<std::vector<LevelCase>> cases(resonances.size());
    for (const Walk& walk : walks)
        cases[walk.resonance] = cases_of(walk, resonances[walk.resonance], setting.places.size());
    return cases;
}

std::vector<LevelCase> air_cases(double Q, std::size_t n_places)
{
    constexpr double factor = 1.6;
    std::vector<LevelCase> cases;
    for (const Node& node : three_points) {
        const double scale = std::pow(factor, node.deviations / range_deviations);
        cases.push_back({node.weight, Q * scale, std::vector<double>(n_places, 20 * std::log10(scale))});
    }
    return cases;
}

} // namespace stillwall::solver::internal
