#include "solver/drive/curve_points.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillwall::solver {

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

double level_against(double magnitude, double reference)
{
    return 20 * std::log10(magnitude / reference);
}

CurvePoint loudest_of_walls(const SoundResult& result, std::size_t listener)
{
    const HeardCurves& heard = result.listeners.at(listener);
    const Eigen::VectorXd share = heard.walls.cwiseAbs().array() / heard.reference.array();
    CurvePoint loudest = highest(result.frequency, share);
    for (const SoundMode& mode : result.modes) {
        if (mode.kind != Resonance::Kind::Wall || listener >= mode.heard.size()) continue;
        const double peak = std::pow(10, mode.heard[listener].level_dB / 20);
        if (peak > loudest.value) loudest = {mode.heard[listener].peak_Hz, peak};
    }
    return loudest;
}

} // namespace stillwall::solver
