#include "solver/explain/comb.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

constexpr double stock_error = 0.2, left_over = 0.015; // of ln modulus; of ln f
constexpr double no_wall = 0.5;                        // per unit of ln f
constexpr double reach = 0.8, step = 0.004;            // of ln factor

double log_posterior(double x, const std::vector<Known>& readings, const std::vector<Tooth>& teeth)
{
    double log_p = -0.5 * x * x / (stock_error * stock_error);
    for (const Known& reading : readings) {
        const double sd = std::hypot(left_over, reading.error / reading.value);
        double p = no_wall;
        for (const Tooth& tooth : teeth) {
            const double off = (std::log(reading.value / tooth.f_Hz) - tooth.slope * x) / sd;
            p += tooth.seen * std::exp(-0.5 * off * off) / (sd * std::sqrt(2 * std::numbers::pi));
        }
        log_p += std::log(p);
    }
    return log_p;
}

} // namespace

std::vector<CombFit> comb_fits(const std::vector<Known>& readings, const std::vector<Tooth>& teeth)
{
    constexpr int n_side = static_cast<int>(reach / step + 0.5);
    std::vector<double> p;
    for (int i = -n_side; i <= n_side; ++i) p.push_back(log_posterior(i * step, readings, teeth));
    const double top = *std::max_element(p.begin(), p.end());
    double all = 0;
    for (double& value : p) all += value = std::exp(value - top);

    std::vector<CombFit> fits;
    double highest = -1;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const bool is_valley = i == 0 || (i + 1 < p.size() && p[i] < p[i - 1] && p[i] <= p[i + 1]);
        if (is_valley) {
            fits.emplace_back();
            highest = -1;
        }
        fits.back().odds += p[i] / all;
        if (p[i] > highest) {
            highest = p[i];
            fits.back().factor = std::exp((static_cast<int>(i) - n_side) * step);
        }
    }
    std::stable_sort(fits.begin(), fits.end(), [](const CombFit& a, const CombFit& b) { return a.odds > b.odds; });
    return fits;
}

} // namespace stillwall::solver
