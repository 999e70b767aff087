#include "app/verbs/compare/compare_report.h"
#include "app/write/numbers.h"
#include "app/write/price_note.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall::app {
namespace {

using enum Align;
using solver::ComputedScheme;
using solver::SchemeFigures;
using solver::SchemeMode;

bool is_played(const CompareReport& report)
{
    return report.schemes.front().computed.figures.is_played;
}

/// "left 412 Hz"; "–" for none.
std::string mode_words(const SchemeMode* mode)
{
    return mode ? fmt::format("{} {} Hz", mode->part, in_hertz(mode->f_Hz)) : "–";
}

std::string price_words(const std::optional<double>& price)
{
    return price ? fmt::format("{:.2f}", *price) : "–";
}

bool any(const CompareReport& report, bool (*has)(const ComputedScheme&))
{
    return std::any_of(report.schemes.begin(), report.schemes.end(),
                       [&](const NamedScheme& s) { return has(s.computed); });
}

std::string scheme_table(const CompareReport& report)
{
    const bool played = is_played(report);
    const bool has_price = any(report, [](const ComputedScheme& c) { return c.price.has_value(); });
    const bool has_tuning = any(report, [](const ComputedScheme& c) { return c.figures.tuning_Hz.has_value(); });
    TextTable table;
    table.columns = {{"Scheme", Left, 24 - (has_tuning ? 4 : 0) - (has_price ? 4 : 0)}, {"First wall mode", Left, 15}};
    if (played) {
        table.columns.push_back({"Worst wall", Left, 14});
        table.columns.push_back({"It is", Left, 10});
        table.columns.push_back({"Walls", Left});
        table.columns.push_back({"Air", Right});
    }
    table.columns.push_back({"kg", Right});
    table.columns.push_back({"Litres", Right});
    if (has_tuning) table.columns.push_back({"Tuned Hz", Right});
    table.columns.push_back({"Wood m²", Right});
    if (has_price) table.columns.push_back({"Price", Right});
    table.columns.push_back({"Cuts", Right});
    for (const NamedScheme& scheme : report.schemes) {
        const SchemeFigures& f = scheme.computed.figures;
        std::vector<std::string> row{scheme.name, mode_words(f.at(f.first))};
        if (played) {
            const SchemeMode* loudest = f.at(f.loudest);
            row.push_back(loudest ? fmt::format("{} dB, {}", in_decibels(loudest->worst->level_dB), mode_words(loudest))
                                  : "–");
            row.push_back(loudest ? solver::audibility_word(loudest->worst->verdict.word) : "–");
            row.push_back(fmt::format("{} + {}", f.n_audible, f.n_borderline));
            row.push_back(fmt::format("{}", f.n_air_heard));
        }
        row.push_back(in_kg(f.mass));
        row.push_back(in_litres(f.net_volume));
        if (has_tuning) row.push_back(f.tuning_Hz ? significant(*f.tuning_Hz, 3) : "–");
        row.push_back(fmt::format("{:.3f}", f.board_area));
        if (has_price) row.push_back(price_words(scheme.computed.price));
        row.push_back(scheme.computed.n_cuts > 0 ? fmt::format("{}", scheme.computed.n_cuts) : "–");
        table.rows.push_back(std::move(row));
    }
    return table.text() + (has_price ? price_note : "");
}

std::string met_cell(const CompareReport& report, std::size_t scheme, std::size_t mode)
{
    const solver::Met& met = report.met[scheme][mode];
    if (met.mode < 0) return "gone";
    const SchemeMode& there = report.schemes[scheme].computed.figures.modes[static_cast<std::size_t>(met.mode)];
    std::string text = (scheme > 0 && met.likeness < 0.8 ? "~" : "") + in_hertz(there.f_Hz);
    if (there.worst) text += "  " + in_decibels(there.worst->level_dB) + " dB";
    return text;
}

/// Place behind the last scheme that still goes on a page with the first one, from this one on.
std::size_t end_of_page(const CompareReport& report, std::size_t from)
{
    constexpr int names = 28, cell = 14, gap = 2;
    const auto width = [&](std::size_t s) { return gap + std::max(cell, display_width(report.schemes[s].name)); };
    int left = page_width - gap - names - width(0);
    std::size_t end = from;
    while (end < report.schemes.size() && (end == from || left >= width(end))) left -= width(end++);
    return end;
}

/// The followed modes, in tables of as many schemes as go on a page.
std::string mode_tables(const CompareReport& report)
{
    constexpr std::size_t most = 10;
    const std::vector<std::size_t> modes = solver::modes_to_follow(report.schemes.front().computed.figures, most);
    if (modes.empty()) return {};
    std::string text;
    for (std::size_t from = 1, end = 1; from < report.schemes.size(); from = end) {
        TextTable table;
        table.columns = {{"The same mode, Hz", Left, 28}, {report.schemes[0].name, Left, 14}};
        end = end_of_page(report, from);
        for (std::size_t s = from; s < end; ++s) table.columns.push_back({report.schemes[s].name, Left, 14});
        for (const std::size_t m : modes) {
            std::vector<std::string> row{report.schemes[0].computed.figures.modes[m].name, met_cell(report, 0, m)};
            for (std::size_t s = from; s < end; ++s) row.push_back(met_cell(report, s, m));
            table.rows.push_back(std::move(row));
        }
        text += '\n' + table.text();
    }
    return text + "\n  Followed by shape (modal assurance criterion over 0.5; ~ under 0.8: the shape has changed much; "
                  "gone: nothing alike).\n";
}

/// What became of the first scheme's worst or lowest mode, and what is new.
std::string stories(const CompareReport& report)
{
    const SchemeFigures& first = report.schemes[0].computed.figures;
    std::string text;
    for (std::size_t s = 1; s < report.schemes.size(); ++s) {
        const SchemeFigures& figures = report.schemes[s].computed.figures;
        const std::optional<solver::ChiefStory> story = solver::chief_story(first, figures, report.met[s]);
        if (!story) return {};
        const SchemeMode* from = first.at(story->from);
        std::string line = report.schemes[s].name + ": ";
        if (const SchemeMode* to = figures.at(story->there)) {
            line += fmt::format("the mode '{}' went from {} to {} Hz", from->name, in_hertz(from->f_Hz),
                                in_hertz(to->f_Hz));
            if (from->worst && to->worst)
                line += fmt::format(" and from {} to {} dB", in_decibels(from->worst->level_dB),
                                    in_decibels(to->worst->level_dB));
        } else {
            line += fmt::format("no mode is like '{}' ({} Hz) any more", from->name, in_hertz(from->f_Hz));
        }
        const SchemeMode* now = figures.at(story->now);
        if (now && story->now != story->there)
            line += fmt::format("; {} there is '{}' at {} Hz{}", figures.is_played ? "worst" : "lowest", now->name,
                                in_hertz(now->f_Hz),
                                story->is_new ? ", which has no like in " + report.schemes[0].name : "");
        text += wrapped(line + ".", "    ", "  - ");
    }
    return text.empty() ? text : '\n' + text;
}

/// What weighs more or less than the first.
std::string differences(const CompareReport& report)
{
    const ComputedScheme& first = report.schemes[0].computed;
    std::string text;
    for (std::size_t s = 1; s < report.schemes.size(); ++s) {
        const SchemeFigures& f = report.schemes[s].computed.figures;
        std::string line =
            fmt::format("{}: {} kg, {} litres", report.schemes[s].name,
                        with_minus(fmt::format("{:+.2f}", f.mass - first.figures.mass)),
                        with_minus(fmt::format("{:+.2f}", (f.net_volume - first.figures.net_volume) * 1e3)));
        if (f.tuning_Hz && first.figures.tuning_Hz)
            line += fmt::format(", tuning {} Hz",
                                with_minus(fmt::format("{:+.1f}", *f.tuning_Hz - *first.figures.tuning_Hz)));
        else if (f.is_played && first.figures.net_volume > 0)
            line +=
                fmt::format(" ({} % of the air: a closed box's resonance moves by half of that at most, the other way)",
                            with_minus(fmt::format("{:+.1f}", (f.net_volume / first.figures.net_volume - 1) * 100)));
        text += wrapped(line, "    ", "  - ");
    }
    return "\n  Against " + report.schemes[0].name + "\n" + text;
}

/// Why there are no levels.
std::string unplayed_note(const CompareReport& report)
{
    const std::vector<std::string>& lacking = report.without_figures;
    if (lacking.empty())
        return "  Frequencies of the boards by themselves, as asked; without --modes-only the drivers are played.\n";
    const std::string who = lacking.size() == report.schemes.size() ? "in every file"
                            : lacking.size() == 1
                                ? fmt::format("of '{}'", lacking.front())
                                : fmt::format("of '{}' and {} more", lacking.front(), lacking.size() - 1);
    return wrapped(
        fmt::format("Frequencies of the boards by themselves; give the drivers' figures {} to compare levels "
                    "(examples/FORMAT.md).",
                    who),
        "  ", "  ");
}

} // namespace

std::string compare_text(const CompareReport& report)
{
    std::string text = fmt::format("{}: {} schemes, to {} Hz, {} accuracy\n\n", report.title, report.schemes.size(),
                                   in_hertz(report.f_max), report.accuracy);
    text += scheme_table(report) + mode_tables(report) + stories(report) + differences(report);
    if (is_played(report))
        text += fmt::format("\n  dB: a resonance's own peak against the direct sound where that is worst, by typical "
                            "figures. Worst wall: the one nearest to\n  being heard. Walls: audible + borderline ones "
                            "below {} Hz.\n"
                            "  Air: waves of the air inside that are audible or borderline.\n",
                            in_hertz(report.f_max));
    else
        text += '\n' + unplayed_note(report);
    text +=
        "  Cuts: straight saw cuts on the listed boards, and cut-outs. Mass and litres are those of the drawings.\n";
    return text;
}

} // namespace stillwall::app
