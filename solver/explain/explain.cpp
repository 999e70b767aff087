#include "solver/explain/explain.h"

#include "mesh/cabinet/error.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;

/// |Z| at a frequency, linear between points; nothing outside.
std::optional<double> magnitude_at(const std::vector<double>& f, const Eigen::VectorXcd& Z, double f_Hz)
{
    if (f_Hz < f.front() || f_Hz > f.back()) return std::nullopt;
    const auto above = std::upper_bound(f.begin() + 1, f.end() - 1, f_Hz);
    const auto i = static_cast<Index>(above - f.begin());
    const double t = (f_Hz - *(above - 1)) / (*above - *(above - 1));
    return (1 - t) * std::abs(Z[i - 1]) + t * std::abs(Z[i]);
}

void add_impedance(const Measured& measured, Evidence& evidence)
{
    if (measured.impedance == nullptr) return;
    const FeaturesResult& found = *measured.impedance;
    Measurement m;
    m.f_from = found.f_from;
    m.f_to = found.f_to;
    m.detection = [&sweep = *measured.sweep, &noise = found.fit.noise](double f_Hz, double Q) {
        return detection_height(sweep, noise, f_Hz, std::clamp(Q, 2.0, 200.0));
    };
    const int at = static_cast<int>(evidence.measurements.size());
    evidence.measurements.push_back(std::move(m));
    for (const Feature& f : found.features) evidence.readings.push_back({at, f.f_Hz, f.Q, f.ohm, 0});
}

void add_knocks(const Measured& measured, Evidence& evidence)
{
    for (const KnockedBoard& knocked : measured.knocks) {
        const int at = static_cast<int>(evidence.measurements.size());
        evidence.measurements.push_back({knocked.board, knocked.result.f_from, knocked.result.f_to, {}});
        for (const RungMode& mode : knocked.result.modes)
            evidence.readings.push_back({at, mode.f_Hz, mode.Q, std::nullopt, mode.level_dB});
    }
}

Accused accused_of(const Suspects& suspects, const SoundResult& sound, const CauseOdds& odds)
{
    if (!odds.candidate) return {suspects.backgrounds[static_cast<std::size_t>(*odds.background)].cause, nullptr};
    const Candidate& c = suspects.candidates[static_cast<std::size_t>(*odds.candidate)];
    return {c.cause, c.resonance ? &sound.modes[static_cast<std::size_t>(*c.resonance)] : nullptr};
}

/// Where the humps' sum without the coil is least between two of them.
double tuning_of(const std::vector<Hump>& humps)
{
    if (humps.size() < 2) return 0;
    double best = 0, least = std::numeric_limits<double>::infinity();
    for (double f = humps[0].f_Hz; f < humps[1].f_Hz; f *= 1.0005) {
        const double size = std::abs(humps[0].at(f) + humps[1].at(f));
        if (size < least) least = size, best = f;
    }
    return best;
}

std::vector<Hump> main_humps(const ImpedanceFit& fit)
{
    const std::size_t n = fit.kind == BoxKind::TwoHumps ? 2 : 1;
    return {fit.model.humps.begin(), fit.model.humps.begin() + static_cast<std::ptrdiff_t>(n)};
}

BoxCheck check_box(const SoundResult& sound, std::size_t way, const Measured& measured)
{
    constexpr double bass = 300; // [Hz]
    BoxCheck box;
    box.kind = measured.impedance->fit.kind;
    box.measured = main_humps(measured.impedance->fit);
    box.tuning_measured = tuning_of(box.measured);
    const Eigen::VectorXcd& Z = sound.ways[way].impedance;
    try {
        box.model = main_humps(fit_smooth({"model", sound.frequency, Z, true}, box.kind));
        box.tuning_model = tuning_of(box.model);
    } catch (const DomainError&) { // the computed band may begin above the humps
    }
    for (std::size_t i = 0; i < measured.sweep->f_Hz.size(); ++i) {
        const double f = measured.sweep->f_Hz[i];
        const auto model = f < bass ? magnitude_at(sound.frequency, Z, f) : std::nullopt;
        if (!model) continue;
        const double ratio = std::abs(measured.sweep->Z[static_cast<Index>(i)]) / *model;
        if (std::abs(std::log(ratio)) > std::abs(std::log(box.largest_ratio))) box.largest_ratio = ratio;
    }
    return box;
}

} // namespace

BoxKind box_kind_of(const Cabinet& cabinet)
{
    for (const Board& board : cabinet.boards) {
        if (board.kind != Board::Kind::Wall) continue;
        for (const Opening& opening : board.openings) {
            const InsertPlan::Kind kind = opening.insert.kind;
            if (kind != InsertPlan::Kind::Driver && kind != InsertPlan::Kind::Plate) return BoxKind::Unknown;
        }
    }
    return BoxKind::OneHump;
}

std::size_t nearest_way(const SoundResult& sound, const Sweep& sweep)
{
    std::size_t best = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t w = 0; w < sound.ways.size(); ++w) {
        double sum = 0;
        int n = 0;
        for (std::size_t i = 0; i < sweep.f_Hz.size(); ++i) {
            const auto model = magnitude_at(sound.frequency, sound.ways[w].impedance, sweep.f_Hz[i]);
            if (!model) continue;
            sum += std::pow(std::log(std::abs(sweep.Z[static_cast<Index>(i)]) / *model), 2);
            ++n;
        }
        if (n > 0 && sum / n < least) least = sum / n, best = w;
    }
    return best;
}

Explanation explain(const Cabinet& cabinet, const SoundResult& sound, bool is_filled, const Measured& measured,
                    const Doubt& doubt)
{
    Explanation e;
    if (measured.sweep != nullptr) e.way = nearest_way(sound, *measured.sweep);
    e.suspects = suspects_of(cabinet, sound, e.way, measured.free_air, is_filled, doubt);
    add_impedance(measured, e.evidence);
    add_knocks(measured, e.evidence);
    e.odds = odds_of(e.suspects, e.evidence);
    std::vector<double> explains(e.suspects.candidates.size(), 0); // something in the impedance
    for (std::size_t r = 0; r < e.evidence.readings.size(); ++r) {
        ExplainedReading explained{e.evidence.readings[r], e.odds.readings[r], std::nullopt};
        const auto& causes = explained.causes;
        for (const CauseOdds& c : causes)
            if (c.candidate && explained.reading.ohm) explains[static_cast<std::size_t>(*c.candidate)] += c.odds;
        constexpr double sure = 0.99;
        if (causes.size() > 1 && causes[0].odds < sure)
            explained.proof = proof_between(cabinet, sound, accused_of(e.suspects, sound, causes[0]),
                                            accused_of(e.suspects, sound, causes[1]), explained.reading.f_Hz.value,
                                            explained.reading.Q.value, measured.free_air != nullptr);
        e.readings.push_back(std::move(explained));
    }
    if (measured.impedance != nullptr) {
        e.box = check_box(sound, e.way, measured);
        for (std::size_t c = 0; c < explains.size(); ++c)
            if (e.suspects.candidates[c].cause != Cause::Port && e.odds.visible(static_cast<Index>(c), 0) > 0.5 &&
                explains[c] < 0.1)
                e.missing.push_back(static_cast<int>(c));
    }
    return e;
}

} // namespace stillwall::solver
