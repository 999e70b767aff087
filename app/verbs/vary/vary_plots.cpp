#include "app/verbs/vary/heat_map.h"
#include "app/verbs/vary/vary_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_curves.h"
#include "app/write/sound_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace stillwall::app {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// Positions on a plot: the numbers where all values begin with one and take one unit, else their places.
struct Positions
{
    std::vector<double> at;
    bool is_numeric = true;
};

Positions positions_of(const std::vector<std::string>& values)
{
    Positions p;
    std::string unit;
    for (const std::string& value : values) {
        char* end = nullptr;
        p.at.push_back(std::strtod(value.c_str(), &end));
        const std::string rest = end;
        if (p.at.size() == 1) unit = rest;
        if (end == value.c_str() || rest != unit || rest.find('/') != std::string::npos) p.is_numeric = false;
    }
    if (!p.is_numeric)
        for (std::size_t i = 0; i < values.size(); ++i) p.at[i] = static_cast<double>(i + 1);
    return p;
}

PlotMark::Symbol symbol(char word)
{
    return word == 'a'   ? symbol_of(solver::Audibility::Audible)
           : word == 'b' ? symbol_of(solver::Audibility::Borderline)
                         : symbol_of(solver::Audibility::Inaudible);
}

std::string curves_plot(const VaryReport& report)
{
    const Positions at = positions_of(report.values[0]);
    PlotAxis x{.title = report.axes[0],
               .low = *std::min_element(at.at.begin(), at.at.end()),
               .high = *std::max_element(at.at.begin(), at.at.end())};
    const double margin = std::max(0.04 * (x.high - x.low), 1e-6);
    x.low -= margin;
    x.high += margin;
    if (!at.is_numeric) x.step = 1;
    PlotPanel modes{.height = 420}, level{.height = 220}, weight{.height = 150};
    PlotLine first{"first", {}, {}, pen(0)}, loudest{"loudest wall", {}, {}, pen(1)},
        over{"over notice", {}, {}, pen(2)}, kg{"kg", {}, {}, pen(3)}, litres{"litres", {}, {}, pen(4)};
    double low = 1e9, high = 0;
    for (std::size_t i = 0; i < report.rows.size(); ++i) {
        const VaryRow& row = report.rows[i];
        const bool is_there = has_figures(row);
        const auto add = [&](PlotLine& line, double value) {
            line.x.push_back(at.at[i]);
            line.y.push_back(is_there ? value : nothing);
        };
        add(first, row.first_Hz > 0 ? row.first_Hz : nothing);
        add(loudest, row.loudest_dB);
        add(over, row.over_dB);
        add(kg, row.mass);
        add(litres, row.net_volume * 1e3);
        for (const VaryRow::ModePoint& mode : row.modes) {
            modes.marks.push_back({at.at[i], mode.f_Hz, symbol(mode.word), {}});
            low = std::min(low, mode.f_Hz);
            high = std::max(high, mode.f_Hz);
        }
    }
    modes.y = {.title = "Wall modes, Hz",
               .low = low < high ? 0.9 * low : 10,
               .high = low < high ? 1.05 * high : 1000,
               .is_logarithmic = high > 8 * low};
    modes.lines = {first};
    Plot plot{.title = report.title + ": " + report.axes[0],
              .subtitle = fmt::format("modes to {} Hz, {} accuracy", in_hertz(report.f_max), report.accuracy),
              .x = x};
    weight.lines = {kg, litres};
    weight.y = upward_axis("kg, litres", largest_of(weight.lines, 1));
    plot.panels.push_back(std::move(modes));
    if (report.is_played) {
        level.lines = {loudest, over};
        double least = 0;
        for (const PlotLine& line : level.lines)
            for (const double v : line.y)
                if (std::isfinite(v)) least = std::min(least, v);
        level.y = level_axis(largest_of(level.lines, 0), std::min(60.0, largest_of(level.lines, 0) - least + 10));
        level.y.title = "dB";
        plot.panels.push_back(std::move(level));
        plot.keys = symbol_keys();
    }
    plot.panels.push_back(std::move(weight));
    return svg_plot(plot);
}

struct Field
{
    const char* name;
    std::string title, unit;
    bool high_is_good;
    double (*value)(const VaryRow&);
    std::string (*text)(const VaryRow&);
};

std::string map_plot(const VaryReport& report, const Field& field)
{
    HeatMap map{.title = field.title,
                .subtitle = report.title,
                .x_title = report.axes[0],
                .y_title = report.axes[1],
                .unit = field.unit,
                .x = report.values[0],
                .y = report.values[1],
                .value = {},
                .text = {},
                .high_is_good = field.high_is_good};
    const std::size_t n_y = map.y.size();
    map.value.assign(n_y, std::vector<double>(map.x.size(), nothing));
    map.text.assign(n_y, std::vector<std::string>(map.x.size()));
    for (std::size_t i = 0; i < map.x.size(); ++i)
        for (std::size_t j = 0; j < n_y; ++j) {
            const VaryRow& row = report.rows[i * n_y + j];
            if (!has_figures(row)) continue;
            map.value[j][i] = field.value(row);
            map.text[j][i] = field.text(row);
        }
    return svg_heat_map(map);
}

} // namespace

std::vector<PlotFile> vary_plots(const VaryReport& report)
{
    if (std::none_of(report.rows.begin(), report.rows.end(), has_figures)) return {};
    if (report.axes.size() == 1)
        return {{"vary-curves.svg", "modes, levels, weight and litres over the values", curves_plot(report)}};
    std::vector<PlotFile> plots;
    if (report.is_played)
        plots.push_back(
            {"vary-level.svg", "heat map: how far the worst wall lies over notice",
             map_plot(report, {"level", "Worst wall over what trained ears find in noise, dB", "dB", false,
                               [](const VaryRow& r) { return r.over_dB; },
                               [](const VaryRow& r) { return with_minus(fmt::format("{:.1f}", r.over_dB)); }})});
    plots.push_back({"vary-first.svg", "heat map: the first wall mode",
                     map_plot(report, {"first", "First wall mode, Hz", "Hz", true,
                                       [](const VaryRow& r) { return r.first_Hz > 0 ? r.first_Hz : nothing; },
                                       [](const VaryRow& r) { return in_hertz(r.first_Hz); }})});
    plots.push_back({"vary-weight.svg", "heat map: weight",
                     map_plot(report, {"weight", "Weight, kg", "kg", false, [](const VaryRow& r) { return r.mass; },
                                       [](const VaryRow& r) { return in_kg(r.mass); }})});
    return plots;
}

} // namespace stillwall::app
