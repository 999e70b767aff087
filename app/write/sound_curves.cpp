#include "app/write/sound_curves.h"

#include "app/write/cabinet_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_facts.h"
#include "solver/drive/curve_points.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace stillwall::app {

using solver::Audibility;

std::vector<double> levels_against(const Eigen::VectorXcd& pressure, const Eigen::VectorXd& reference)
{
    assert(pressure.size() == reference.size());
    std::vector<double> levels;
    for (Eigen::Index i = 0; i < pressure.size(); ++i)
        levels.push_back(solver::level_against(std::abs(pressure(i)), reference(i)));
    return levels;
}

double largest_of(const PlotLine& line, double otherwise)
{
    double largest = -std::numeric_limits<double>::infinity();
    for (const double y : line.y)
        if (std::isfinite(y)) largest = std::max(largest, y);
    return std::isfinite(largest) ? largest : otherwise;
}

double largest_of(const std::vector<PlotLine>& lines, double otherwise)
{
    constexpr double none = -std::numeric_limits<double>::infinity();
    double largest = none;
    for (const PlotLine& line : lines) largest = std::max(largest, largest_of(line, none));
    return std::isfinite(largest) ? largest : otherwise;
}

PlotAxis frequency_axis(const std::vector<double>& frequency)
{
    PlotAxis axis{.title = "Frequency, Hz", .low = frequency.front(), .high = frequency.back(), .is_logarithmic = true};
    if (axis.high < 1.2 * axis.low) { // a single frequency has no width
        axis.low /= 1.1;
        axis.high *= 1.1;
    }
    return axis;
}

PlotAxis level_axis(double highest, double depth)
{
    const double top = std::max(10.0, 10 * std::ceil((highest + 6) / 10));
    return {.title = "dB against the direct sound",
            .low = std::min(-40.0, 10 * std::floor((highest - depth) / 10)),
            .high = top,
            .step = 10};
}

PlotAxis upward_axis(std::string title, double highest)
{
    return {.title = std::move(title), .low = 0, .high = highest > 0 ? 1.08 * highest : 1};
}

PlotAxis decades_axis(std::string title, const std::vector<PlotLine>& lines)
{
    constexpr double most = 1e4;
    double low = std::numeric_limits<double>::infinity();
    const double high = largest_of(lines, 0);
    for (const PlotLine& line : lines)
        for (const double y : line.y)
            if (y > 0) low = std::min(low, y);
    if (!(high > 0)) return {.title = std::move(title), .low = 0.1, .high = 1, .is_logarithmic = true};
    low = std::max({low, high / most, std::numeric_limits<double>::min()});
    return {.title = std::move(title), .low = low / 1.25, .high = high * 1.25, .is_logarithmic = true};
}

PlotMark::Symbol symbol_of(Audibility word)
{
    if (word == Audibility::Audible) return PlotMark::Symbol::Triangle;
    return word == Audibility::Borderline ? PlotMark::Symbol::Diamond : PlotMark::Symbol::Circle;
}

std::string mode_label(const solver::SoundResult& result, std::size_t mode, Audibility word)
{
    if (word == Audibility::Inaudible || word == Audibility::OutOfBand) return {};
    const std::string label = fmt::format("{}: {} Hz", mode + 1, in_hertz(result.modes[mode].f_Hz));
    return word == Audibility::Audible ? label + " audible" : label;
}

std::vector<PlotKey> symbol_keys()
{
    std::vector<PlotKey> keys;
    for (const Audibility word : {Audibility::Audible, Audibility::Borderline, Audibility::Inaudible})
        keys.push_back({.symbol = symbol_of(word), .text = solver::audibility_word(word)});
    return keys;
}

std::string listener_subtitle(const SoundReport& report, std::size_t listener)
{
    const solver::HeardCurves& heard = report.result.listeners.at(listener);
    return fmt::format("{}: at {} ({}), {} V r.m.s.", cabinet_title(report.cabinet), heard.name, place_words(heard.at),
                       shortest(report.result.volts, 3));
}

} // namespace stillwall::app
