#include "app/write/sound_report.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillwall::app {

using solver::Audibility;
using solver::SoundMode;
using solver::Source;

bool is_judged(const SoundMode& mode)
{
    return !mode.heard.empty();
}

const solver::ModeAtListener& worst_heard(const SoundMode& mode)
{
    return mode.heard.at(static_cast<std::size_t>(mode.worst));
}

std::vector<std::size_t> modes_by_verdict(const std::vector<SoundMode>& modes)
{
    std::vector<std::size_t> order;
    for (std::size_t m = 0; m < modes.size(); ++m)
        if (is_judged(modes[m])) order.push_back(m);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const solver::Verdict& first = worst_heard(modes[a]).verdict;
        const solver::Verdict& second = worst_heard(modes[b]).verdict;
        if (first.word != second.word) return first.word < second.word; // declared from audible to inaudible
        return first.over_strict_dB > second.over_strict_dB;
    });
    return order;
}

VerdictCount count_verdicts(const std::vector<SoundMode>& modes)
{
    VerdictCount count;
    for (const SoundMode& mode : modes) {
        if (!is_judged(mode)) continue;
        const solver::Verdict& verdict = worst_heard(mode).verdict;
        count.audible += verdict.word == Audibility::Audible;
        count.borderline += verdict.word == Audibility::Borderline;
        if (verdict.word == Audibility::Inaudible) {
            ++count.inaudible;
            count.could_join += verdict.at_worst != Audibility::Inaudible;
        } else {
            count.could_drop += verdict.at_best == Audibility::Inaudible;
        }
    }
    return count;
}

std::size_t worst_listener(const solver::SoundResult& result)
{
    const SoundMode* worst = nullptr;
    for (const SoundMode& mode : result.modes)
        if (is_judged(mode) &&
            (worst == nullptr || worst_heard(mode).verdict.over_strict_dB > worst_heard(*worst).verdict.over_strict_dB))
            worst = &mode;
    return worst == nullptr ? 0 : static_cast<std::size_t>(worst->worst);
}

CurvePoint highest(const std::vector<double>& frequency, const Eigen::VectorXd& curve)
{
    assert(static_cast<Eigen::Index>(frequency.size()) == curve.size() && curve.size() > 0);
    Eigen::Index at = 0;
    const double value = curve.maxCoeff(&at);
    return {frequency[static_cast<std::size_t>(at)], value};
}

CurvePoint lowest(const std::vector<double>& frequency, const Eigen::VectorXd& curve)
{
    const CurvePoint negative = highest(frequency, -curve);
    return {negative.f_Hz, -negative.value};
}

namespace {

/// The way from a maximum down to one side.
struct Slope
{
    double least = 0;    ///< value on it
    bool is_open = true; ///< nothing higher up to the curve's end
};

Slope slope_from(const Eigen::VectorXd& curve, Eigen::Index at, int step)
{
    Slope slope{.least = curve(at)};
    for (Eigen::Index i = at + step; i >= 0 && i < curve.size(); i += step) {
        if (curve(i) > curve(at)) {
            slope.is_open = false;
            break;
        }
        slope.least = std::min(slope.least, curve(i));
    }
    return slope;
}

/// What a maximum rises from.
double base_of(const Eigen::VectorXd& curve, Eigen::Index at)
{
    const Slope left = slope_from(curve, at, -1), right = slope_from(curve, at, 1);
    if (left.is_open && right.is_open) return std::min(left.least, right.least);
    if (left.is_open) return right.least;
    if (right.is_open) return left.least;
    return std::max(left.least, right.least);
}

} // namespace

std::vector<CurvePoint> peaks(const std::vector<double>& frequency, const Eigen::VectorXd& curve)
{
    constexpr double rise = 1.1;
    constexpr std::size_t most = 4;
    std::vector<CurvePoint> found;
    for (Eigen::Index i = 1; i + 1 < curve.size(); ++i)
        if (curve(i) > curve(i - 1) && curve(i) >= curve(i + 1) && curve(i) >= rise * base_of(curve, i))
            found.push_back({frequency[static_cast<std::size_t>(i)], curve(i)});
    std::stable_sort(found.begin(), found.end(),
                     [](const CurvePoint& a, const CurvePoint& b) { return a.value > b.value; });
    if (found.size() > most) found.resize(most);
    std::sort(found.begin(), found.end(), [](const CurvePoint& a, const CurvePoint& b) { return a.f_Hz < b.f_Hz; });
    return found;
}

const solver::Wrinkle* largest_wrinkle(const SoundMode& mode)
{
    constexpr double least_share = 1e-3;
    const solver::Wrinkle* largest = nullptr;
    for (const solver::Wrinkle& wrinkle : mode.wrinkles)
        if (wrinkle.share >= least_share && (largest == nullptr || wrinkle.share > largest->share)) largest = &wrinkle;
    return largest;
}

double level_against(double magnitude, double reference)
{
    return 20 * std::log10(magnitude / reference);
}

std::string mode_word(SoundMode::Kind kind)
{
    switch (kind) {
    case SoundMode::Kind::Wall:
        return "wall";
    case SoundMode::Kind::Air:
        return "air";
    case SoundMode::Kind::Port:
        return "port";
    }
    assert(false);
    return {};
}

bool moves_air(const Source& source)
{
    return source.kind == Source::Kind::Port || source.kind == Source::Kind::Hole;
}

} // namespace stillwall::app
