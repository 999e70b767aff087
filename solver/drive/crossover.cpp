#include "solver/drive/crossover.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;

/// B(s) of the order's Butterworth.
Complex butterworth(int order, Complex s)
{
    Complex product = order % 2 == 1 ? s + 1.0 : Complex(1);
    for (int k = 1; k <= order / 2; ++k)
        product *= s * s + 2 * std::sin((2 * k - 1) * std::numbers::pi / (2 * order)) * s + 1.0;
    return product;
}

Complex gain_of_points(const std::vector<CrossoverPoint>& points, double f_Hz)
{
    if (points.empty()) return 1;
    const auto above =
        std::find_if(points.begin(), points.end(), [&](const CrossoverPoint& p) { return p.frequency > f_Hz; });
    const CrossoverPoint &first = points.front(), &last = points.back();
    if (points.size() == 1) return std::polar(std::pow(10, first.level / 20), first.phase);
    const bool is_outside = above == points.begin() || above == points.end();
    const CrossoverPoint& b = above == points.begin() ? points[1] : above == points.end() ? last : *above;
    const CrossoverPoint& a = *(&b - 1);
    const double t = std::log(f_Hz / a.frequency) / std::log(b.frequency / a.frequency);
    const double level = a.level + t * (b.level - a.level);
    const double phase =
        is_outside ? (above == points.begin() ? first.phase : last.phase) : a.phase + t * (b.phase - a.phase);
    return std::polar(std::pow(10, level / 20), phase);
}

} // namespace

Complex filter_gain(const CrossoverFilter& filter, double f_Hz)
{
    const bool is_squared = filter.kind == CrossoverFilter::Kind::LinkwitzRiley;
    const int order = is_squared ? filter.order / 2 : filter.order;
    const Complex s(0, f_Hz / filter.frequency);
    const Complex gain = (filter.is_low_pass ? Complex(1) : std::pow(s, order)) / butterworth(order, s);
    return is_squared ? gain * gain : gain;
}

Complex crossover_gain(const WrittenWay& way, double f_Hz)
{
    Complex gain = gain_of_points(way.crossover, f_Hz) *
                   std::polar(std::pow(10, way.gain_dB / 20), -2 * std::numbers::pi * f_Hz * way.delay_s);
    for (const CrossoverFilter& filter : way.filters) gain *= filter_gain(filter, f_Hz);
    return gain;
}

std::vector<CrossoverRise> crossover_rises(const WrittenWay& way, double f_low, double f_high)
{
    std::vector<CrossoverRise> rises;
    if (way.crossover.size() < 2) return rises; // one point: the same level everywhere
    constexpr double worth_a_word = 0.5;        // [dB]
    const auto look = [&](const CrossoverPoint& end, double edge_Hz) {
        const double level = 20 * std::log10(std::abs(gain_of_points(way.crossover, edge_Hz)));
        if (level - end.level >= worth_a_word) rises.push_back({end.frequency, edge_Hz, level - end.level});
    };
    if (f_low < way.crossover.front().frequency) look(way.crossover.front(), f_low);
    if (f_high > way.crossover.back().frequency) look(way.crossover.back(), f_high);
    return rises;
}

} // namespace stillwall::solver
