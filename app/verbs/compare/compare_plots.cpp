#include "app/verbs/compare/compare_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_curves.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using solver::SchemeFigures;
using solver::SchemeMode;

std::string curves_plot(const CompareReport& report)
{
    PlotPanel walls{.height = 420}, impedance{.height = 260};
    std::vector<double> grid;
    for (std::size_t s = 0; s < report.schemes.size(); ++s) {
        const solver::ComputedScheme& c = report.schemes[s].computed;
        if (c.frequency.size() > grid.size()) grid = c.frequency;
        walls.lines.push_back({report.schemes[s].name, c.frequency, c.walls_dB, pen(s)});
        impedance.lines.push_back({report.schemes[s].name, c.frequency, c.impedance, pen(s)});
    }
    walls.y = level_axis(largest_of(walls.lines, 0), 60);
    impedance.y = upward_axis("Impedance, ohm", largest_of(impedance.lines, 0));
    return svg_plot({.title = "Sound of all walls against the direct sound, and impedance",
                     .subtitle = "each scheme at its worst listener",
                     .x = frequency_axis(grid),
                     .panels = {std::move(walls), std::move(impedance)}});
}

/// A row per scheme with its modes, lines between those that are the same.
std::string ladder_plot(const CompareReport& report)
{
    const auto n = static_cast<double>(report.schemes.size());
    double lowest = report.f_max;
    for (const NamedScheme& scheme : report.schemes)
        for (const SchemeMode& mode : scheme.computed.figures.modes)
            if (mode.kind == solver::Resonance::Kind::Wall) lowest = std::min(lowest, mode.f_Hz);
    PlotPanel panel{.y = {.title = "", .low = 0.5, .high = n + 0.5}, .height = std::max(200.0, 70 * n)};
    const auto row = [&](std::size_t s) { return n - static_cast<double>(s); };
    for (std::size_t s = 0; s < report.schemes.size(); ++s) {
        panel.y.rows.emplace_back(row(s), report.schemes[s].name);
        const SchemeFigures& f = report.schemes[s].computed.figures;
        for (std::size_t m = 0; m < f.modes.size(); ++m) {
            const SchemeMode& mode = f.modes[m];
            if (mode.kind != solver::Resonance::Kind::Wall) continue;
            const bool is_chief = m == (f.loudest ? f.loudest : f.first);
            panel.marks.push_back({mode.f_Hz, row(s),
                                   mode.worst ? symbol_of(mode.worst->verdict.word) : PlotMark::Symbol::Stroke,
                                   is_chief ? in_hertz(mode.f_Hz) + " Hz" : std::string()});
        }
    }
    std::reverse(panel.y.rows.begin(), panel.y.rows.end());
    const SchemeFigures& first = report.schemes[0].computed.figures;
    std::size_t n_lines = 0;
    for (std::size_t m = 0; m < first.modes.size(); ++m) {
        PlotLine line;
        for (std::size_t s = 0; s < report.schemes.size(); ++s)
            if (const int there = report.met[s][m].mode; there >= 0) {
                line.x.push_back(report.schemes[s].computed.figures.modes[static_cast<std::size_t>(there)].f_Hz);
                line.y.push_back(row(s));
            }
        if (line.x.size() < 2 || first.modes[m].kind != solver::Resonance::Kind::Wall) continue;
        line.pen = {pen(n_lines++).colour, "", 1.2};
        panel.lines.push_back(std::move(line));
    }
    Plot plot{.title = "Wall modes, scheme by scheme",
              .subtitle = "lines join modes that are alike in shape to those of the first scheme",
              .x = {.title = "Frequency, Hz", .low = 0.9 * lowest, .high = 1.05 * report.f_max, .is_logarithmic = true},
              .panels = {std::move(panel)}};
    if (first.is_played) plot.keys = symbol_keys();
    return svg_plot(plot);
}

} // namespace

std::vector<PlotFile> compare_plots(const CompareReport& report)
{
    std::vector<PlotFile> plots;
    if (!report.schemes.front().computed.frequency.empty())
        plots.push_back(
            {"compare-curves.svg", "sound of the walls and impedance, all schemes in one", curves_plot(report)});
    plots.push_back({"compare-modes.svg", "wall modes followed from scheme to scheme", ladder_plot(report)});
    return plots;
}

} // namespace stillwall::app
