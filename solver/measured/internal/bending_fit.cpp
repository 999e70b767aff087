#include "solver/measured/internal/bending_fit.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace stillwall::solver {
namespace {

double relative_error(const Known& f)
{
    constexpr double least = 1e-5; // a frequency said to be exact still must not rule alone
    return std::max(f.error / f.value, least);
}

/// Place of the least value of a function on [low, high], found on a grid and then by golden section.
double minimise(const std::function<double(double)>& f, double low, double high)
{
    constexpr int n = 24;
    const double step = (high - low) / n;
    int best = 0;
    double least = f(low);
    for (int i = 1; i <= n; ++i)
        if (const double value = f(low + i * step); value < least) {
            least = value;
            best = i;
        }
    double a = low + std::max(best - 1, 0) * step, b = low + std::min(best + 1, n) * step;
    const double golden = 0.5 * (std::sqrt(5.0) - 1);
    double x1 = b - golden * (b - a), x2 = a + golden * (b - a), f1 = f(x1), f2 = f(x2);
    while (b - a > 1e-6) {
        if (f1 < f2) {
            b = x2;
            x2 = x1;
            f2 = f1;
            x1 = b - golden * (b - a);
            f1 = f(x1);
        } else {
            a = x1;
            x1 = x2;
            f1 = f2;
            x2 = a + golden * (b - a);
            f2 = f(x2);
        }
    }
    return 0.5 * (a + b);
}

} // namespace

BendingFit fit_modulus(const Bar& bar, BarEnds ends, std::span<const ModeReading> modes, double E_over_G,
                       const BeamTheory& theory)
{
    BendingFit fit;
    fit.E_over_G = E_over_G;
    std::vector<double> logs;
    double sum = 0, weights = 0;
    for (const ModeReading& mode : modes) {
        const double plain = mode.f.value / theory.rise(ends, mode.number, bar.thickness / bar.length, E_over_G);
        logs.push_back(std::log(bending_modulus(bar, ends, mode.number, plain, E_over_G)));
        const double weight = std::pow(relative_error(mode.f), -2);
        sum += weight * logs.back();
        weights += weight;
    }
    const double mean = sum / weights;
    fit.E = std::exp(mean);
    for (std::size_t i = 0; i < modes.size(); ++i) {
        const double off = 0.5 * (logs[i] - mean); // E goes with f²
        fit.residuals.push_back(std::expm1(off));
        fit.chi2 += std::pow(off / relative_error(modes[i].f), 2);
    }
    return fit;
}

BendingFit fit_modulus_and_ratio(const Bar& bar, BarEnds ends, std::span<const ModeReading> modes,
                                 const BeamTheory& theory)
{
    const double low = std::log(least_ratio);
    double high = std::log(greatest_ratio);
    const auto chi2 = [&](double log_ratio) { return fit_modulus(bar, ends, modes, std::exp(log_ratio), theory).chi2; };
    // High modes of a thick soft strip lie beyond beam theory; shrink the range to where all modes exist.
    const auto exists = [&](double log_ratio) {
        try {
            return std::isfinite(chi2(log_ratio));
        } catch (const DomainError&) {
            return false;
        }
    };
    while (high > low + 0.5 && !exists(high)) high -= 0.25;
    const double best = minimise(chi2, low, high);
    BendingFit fit = fit_modulus(bar, ends, modes, std::exp(best), theory);
    constexpr double touch = 1e-4;
    fit.is_at_low_end = best - low < touch;
    fit.is_at_high_end = high - best < touch;
    return fit;
}

double bending_frequency(const Bar& bar, BarEnds ends, int mode, double E, double E_over_G, const BeamTheory& theory)
{
    // E goes with f² at a given E/G.
    return theory.rise(ends, mode, bar.thickness / bar.length, E_over_G) *
           std::sqrt(E / bending_modulus(bar, ends, mode, 1.0, E_over_G));
}

} // namespace stillwall::solver
