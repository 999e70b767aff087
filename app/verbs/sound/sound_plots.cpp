#include "app/verbs/sound/sound_plots.h"

#include "app/write/numbers.h"
#include "app/write/sound_curves.h"
#include "mesh/cabinet/units.h"
#include "solver/drive/verdicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace stillwall::app {
namespace {

using solver::Audibility;
using solver::SoundMode;
using solver::SoundResult;

const Pen main_pen{"#000000", "", 2.4}, still_pen{"#888888", "2 3", 1.6};

bool is_inside(const PlotAxis& axis, double value)
{
    return value >= axis.low && value <= axis.high;
}

/// Relative half-width of a resonance; wide ones are cut so that their bars stay apart.
double half_width(double Q)
{
    return std::min(0.5 / Q, 0.08);
}

std::string walls_plot(const SoundReport& report)
{
    const SoundResult& result = report.result;
    const std::size_t l = worst_listener(result);
    const solver::HeardCurves& heard = result.listeners.at(l);
    Plot plot{.title = "Sound of the walls against the direct sound",
              .subtitle = listener_subtitle(report, l),
              .x = frequency_axis(result.frequency),
              .keys = symbol_keys()};
    plot.keys.push_back(
        {.has_edges = true,
         .text = "where a resonance is noticed: from trained ears in noise (lower edge) to popular music (upper)"});
    PlotPanel panel{.height = 520};
    panel.lines = {{"all walls", result.frequency, levels_against(heard.walls, heard.reference), main_pen},
                   {"direct sound", result.frequency, levels_against(heard.direct, heard.reference), still_pen}};
    double highest = largest_of(panel.lines, 0);
    for (const std::size_t m : modes_by_verdict(result.modes)) {
        const SoundMode& mode = result.modes[m];
        const solver::ModeAtListener& at = mode.heard.at(l);
        // What is far too weak to judge would only cover the rest.
        constexpr double faintest_dB = -60, far_under_dB = -25;
        if (!is_inside(plot.x, at.peak_Hz) || at.level_dB < faintest_dB) continue;
        const double half = half_width(mode.Q);
        if (at.verdict.over_strict_dB > far_under_dB)
            panel.bars.push_back({.x_low = at.peak_Hz * (1 - half),
                                  .x_high = at.peak_Hz * (1 + half),
                                  .y_low = at.verdict.strict_dB,
                                  .y_high = at.verdict.lenient_dB,
                                  .has_edges = true,
                                  .is_strong = may_be_heard(at.verdict)});
        panel.marks.push_back(
            {at.peak_Hz, at.level_dB, symbol_of(at.verdict.word), mode_label(result, m, at.verdict.word)});
        highest = std::max(highest, at.level_dB);
    }
    panel.y = level_axis(highest, 70);
    plot.panels.push_back(std::move(panel));
    return svg_plot(plot);
}

/// The loudest boards by themselves, the others as one sum: more lines nobody can tell apart.
std::string boards_plot(const SoundReport& report)
{
    constexpr std::size_t most = 7;
    const SoundResult& result = report.result;
    const std::size_t l = worst_listener(result);
    const solver::HeardCurves& heard = result.listeners.at(l);
    struct BoardLine
    {
        std::size_t board;
        PlotLine line;
        double loudest; ///< [dB]
    };
    std::vector<BoardLine> boards; // silent ones have no line
    for (std::size_t b = 0; b < heard.boards.size(); ++b) {
        PlotLine line{.label = report.cabinet.boards.at(b).name,
                      .x = result.frequency,
                      .y = levels_against(heard.boards[b], heard.reference),
                      .pen = {}};
        const double loudest = largest_of(line, -std::numeric_limits<double>::infinity());
        if (std::isfinite(loudest)) boards.push_back({b, std::move(line), loudest});
    }
    std::stable_sort(boards.begin(), boards.end(),
                     [](const BoardLine& a, const BoardLine& b) { return a.loudest > b.loudest; });

    PlotPanel panel{.height = 520};
    panel.lines.push_back({"all walls", result.frequency, levels_against(heard.walls, heard.reference), main_pen});
    for (std::size_t i = 0; i < std::min(most, boards.size()); ++i) {
        boards[i].line.pen = pen(i);
        panel.lines.push_back(std::move(boards[i].line));
    }
    if (boards.size() > most) {
        Eigen::VectorXcd others = Eigen::VectorXcd::Zero(heard.walls.size());
        for (std::size_t i = most; i < boards.size(); ++i) others += heard.boards[boards[i].board];
        panel.lines.push_back({fmt::format("{} others", boards.size() - most), result.frequency,
                               levels_against(others, heard.reference), pen(most)});
    }
    panel.y = level_axis(largest_of(panel.lines, 0), 70);
    return svg_plot({.title = "What each board radiates, against the direct sound",
                     .subtitle = listener_subtitle(report, l),
                     .x = frequency_axis(result.frequency),
                     .panels = {std::move(panel)}});
}

std::vector<double> as_list(const Eigen::VectorXd& values)
{
    return {values.begin(), values.end()};
}

std::vector<double> degrees_of(const Eigen::VectorXcd& values)
{
    return as_list(values.array().arg() * (180 / std::numbers::pi));
}

std::string impedance_plot(const SoundReport& report)
{
    const SoundResult& result = report.result;
    PlotPanel size{.height = 300};
    PlotPanel phase{.y = {.title = "Phase, degrees", .low = -90, .high = 90, .step = 30}, .height = 190};
    PlotPanel change{.height = 150};
    const bool has_one = result.ways.size() == 1;
    for (std::size_t w = 0; w < result.ways.size(); ++w) {
        const solver::WayCurves& way = result.ways[w];
        const Pen moving = has_one ? main_pen : pen(w);
        // Thin and dotted over the other: where the two agree both stay in sight.
        const Pen still{has_one ? "#D55E00" : moving.colour, "2 4", 1.3};
        size.lines.push_back(
            {way.name + ", walls still", result.frequency, as_list(way.impedance_still.cwiseAbs()), still});
        size.lines.push_back({way.name, result.frequency, as_list(way.impedance.cwiseAbs()), moving});
        phase.lines.push_back({way.name + ", walls still", result.frequency, degrees_of(way.impedance_still), still});
        phase.lines.push_back({way.name, result.frequency, degrees_of(way.impedance), moving});
        const Eigen::VectorXd share =
            100 * (way.impedance - way.impedance_still).cwiseAbs().array() / way.impedance_still.cwiseAbs().array();
        change.lines.push_back({way.name, result.frequency, as_list(share), moving});
    }
    size.y = upward_axis("Impedance, ohm", largest_of(size.lines, 0));
    change.y = upward_axis("Change by walls, %", largest_of(change.lines, 0));
    return svg_plot({.title = "Electrical impedance, with moving and with still walls",
                     .subtitle = "below: phase, and how far the moving walls change the impedance",
                     .x = frequency_axis(result.frequency),
                     .panels = {std::move(size), std::move(phase), std::move(change)}});
}

std::string motion_plot(const SoundReport& report)
{
    const SoundResult& result = report.result;
    constexpr double peak = std::numbers::sqrt2;
    std::vector<PlotLine> cones, mouths;
    for (std::size_t s = 0; s < result.sources.size(); ++s) {
        const solver::SourceMotion& motion = result.motion.at(s);
        if (moves_air(result.sources[s]))
            mouths.push_back({result.sources[s].name, result.frequency, as_list(motion.velocity.cwiseAbs() * peak),
                              pen(mouths.size())});
        else
            cones.push_back({result.sources[s].name, result.frequency,
                             as_list(motion.displacement.cwiseAbs() * (peak / units::mm)), pen(cones.size())});
    }
    Plot plot{.title = "Motion of cones and of the air in ports",
              .subtitle = fmt::format("peaks of a sine at {} V r.m.s.", shortest(result.volts, 3)),
              .x = frequency_axis(result.frequency)};
    const auto add = [&](const char* title, std::vector<PlotLine>& lines) {
        if (lines.empty()) return;
        PlotAxis axis = decades_axis(title, lines);
        plot.panels.push_back({.y = std::move(axis), .height = 290, .lines = std::move(lines)});
    };
    add("Cone, ± mm", cones);
    add("Air in the port, m/s", mouths);
    return svg_plot(plot);
}

/// Row of a mode in the strip chart: the board most of whose sound it is, the air, the tuning.
std::string row_of(const SoundMode& mode)
{
    if (mode.kind == SoundMode::Kind::Port) return "box tuning";
    if (mode.kind == SoundMode::Kind::Air) return "air inside";
    return mode.part.empty() ? "walls" : mode.part;
}

std::string modes_plot(const SoundReport& report)
{
    const SoundResult& result = report.result;
    Plot plot{.title = "Resonances of walls, air and box tuning",
              .subtitle = "walls in the row of the board that sends most of their sound; symbols say the verdict",
              .x = frequency_axis(result.frequency),
              .keys = symbol_keys()};
    if (!std::all_of(result.modes.begin(), result.modes.end(),
                     [](const SoundMode& mode) { return mode.worst.has_value(); }))
        plot.keys.push_back({.symbol = PlotMark::Symbol::Stroke, .text = "not judged"});
    plot.keys.push_back({.text = "where the ranges of materials, joints and feet let it lie"});
    // From below: walls in the cabinet's order from the top down, then air, then tuning.
    std::vector<std::string> names;
    for (const Board& board : report.cabinet.boards) names.insert(names.begin(), board.name);
    names.insert(names.begin(), "walls");
    names.insert(names.end(), {"air inside", "box tuning"});
    std::erase_if(names, [&](const std::string& name) {
        return std::none_of(result.modes.begin(), result.modes.end(),
                            [&](const SoundMode& mode) { return row_of(mode) == name; });
    });
    const auto n_rows = static_cast<double>(std::max<std::size_t>(names.size(), 1));
    PlotPanel panel{.y = {.title = "", .high = n_rows}, .height = 54 * n_rows};
    for (std::size_t i = 0; i < names.size(); ++i) panel.y.rows.emplace_back(static_cast<double>(i) + 0.5, names[i]);
    std::vector<std::size_t> order = modes_by_verdict(result.modes); // the most heard get the best places for labels
    for (std::size_t m = 0; m < result.modes.size(); ++m)
        if (!result.modes[m].worst) order.push_back(m);
    for (const std::size_t m : order) {
        const SoundMode& mode = result.modes[m];
        if (!is_inside(plot.x, mode.f_Hz)) continue;
        const auto row = std::find(names.begin(), names.end(), row_of(mode));
        const double middle = static_cast<double>(row - names.begin()) + 0.3; // room for labels above
        if (mode.band)
            panel.bars.push_back({.x_low = mode.band->low_Hz,
                                  .x_high = mode.band->high_Hz,
                                  .y_low = middle - 0.12,
                                  .y_high = middle + 0.12,
                                  .has_edges = false,
                                  .is_strong = false});
        const std::string label = fmt::format("{}: {}", m + 1, in_hertz(mode.f_Hz));
        if (!mode.worst) {
            panel.marks.push_back({mode.f_Hz, middle, PlotMark::Symbol::Stroke, label});
            continue;
        }
        const Audibility word = mode.worst->verdict.word;
        panel.marks.push_back({mode.f_Hz, middle, symbol_of(word), may_be_heard(mode.worst->verdict) ? label : ""});
    }
    plot.panels.push_back(std::move(panel));
    return svg_plot(plot);
}

} // namespace

std::vector<PlotFile> sound_plots(const SoundReport& report)
{
    std::vector<PlotFile> files{{"sound-walls.svg", "walls against direct sound", walls_plot(report)},
                                {"sound-boards.svg", "what each board radiates", boards_plot(report)},
                                {"sound-impedance.svg", "impedance, walls moving and still", impedance_plot(report)},
                                {"sound-motion.svg", "cones and air in ports", motion_plot(report)}};
    if (!report.result.modes.empty())
        files.push_back({"sound-modes.svg", "all resonances on one axis", modes_plot(report)});
    return files;
}

} // namespace stillwall::app
