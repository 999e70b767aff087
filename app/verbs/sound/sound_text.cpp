#include "app/write/numbers.h"
#include "app/write/shear_note.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"
#include "solver/drive/verdicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using solver::SoundMode;
using solver::Verdict;
using solver::VerdictCount;

bool matters(const SoundMode& mode)
{
    return may_be_heard(mode.worst->verdict);
}

std::string over_words(const Verdict& verdict)
{
    if (std::abs(verdict.over_strict_dB) < 0.5) return "just where trained ears notice in noise";
    const std::string distance = in_decibels(std::abs(verdict.over_strict_dB));
    return distance + (verdict.over_strict_dB >= 0 ? " dB over" : " dB under") + " what trained ears notice in noise";
}

/// What is to be expected by the odds, and what was not judged.
std::string count_doubt(const VerdictCount& count)
{
    std::string text =
        fmt::format(" By the odds of each, {:.1f} are to be expected at least borderline, {:.1f} audible.",
                    count.expected_heard, count.expected_audible);
    if (count.out_of_band > 0)
        text +=
            fmt::format(" {} more {} outside the band in which the cabinet plays (direct power over 20 dB below its "
                        "best) and not judged; 'rest_of_system' tells what else plays there.",
                        count.out_of_band, count.out_of_band == 1 ? "lies" : "lie");
    return text;
}

/// The sentence the reader came for.
std::string answer(const SoundReport& report, const std::vector<std::size_t>& order)
{
    const std::vector<SoundMode>& modes = report.result.modes;
    const auto& frequency = report.result.frequency;
    if (order.empty())
        return wrapped(fmt::format("No resonance was found from {} to {} Hz.", in_hertz(frequency.front()),
                                   in_hertz(frequency.back())));
    const VerdictCount count = count_verdicts(modes);
    const std::string total = count.all() == 1 ? "1 resonance" : fmt::format("{} resonances", count.all());
    if (count.all() == 0)
        return wrapped("No resonance lies in the band in which the cabinet plays." + count_doubt(count));
    const SoundMode& first = modes[order.front()];
    const std::string nearest = fmt::format("no {}, {}, at {} Hz, {}", order.front() + 1, first.name,
                                            in_hertz(first.f_Hz), over_words(first.worst->verdict));
    if (count.heard() == 0)
        return wrapped(fmt::format("None of {} should be heard. Nearest to it: {}.", total, nearest) +
                       count_doubt(count));
    const std::string words = count.borderline == 0 ? "audible"
                              : count.audible == 0
                                  ? "borderline"
                                  : fmt::format("{} audible, {} borderline", count.audible, count.borderline);
    return wrapped(fmt::format("{} of {} may be heard: {}. Clearest: {}.", count.heard(), total, words, nearest) +
                   count_doubt(count));
}

/// How the drive reaches a wall, or where a sound of the air gets out.
std::string path_cell(const SoundMode& mode)
{
    if (mode.kind != SoundMode::Kind::Wall && !mode.part.empty()) return "out of " + mode.part;
    const bool by_force = mode.force_share >= mode.pressure_share;
    const double share = by_force ? mode.force_share : mode.pressure_share;
    const std::string what = !by_force ? "sound pressure" : mode.driver.empty() ? "force" : "force of " + mode.driver;
    // Over 100 %: the other path works against it.
    return fmt::format("{} {}", what, in_percent(share));
}

std::string wrinkle_cell(const SoundReport& report, const SoundMode& mode)
{
    const solver::Wrinkle* wrinkle = largest_wrinkle(mode);
    if (wrinkle == nullptr) return "–";
    const std::string text = fmt::format("{} ({} %)", shortest(wrinkle->ohm, 2), shortest(wrinkle->share * 100, 2));
    return report.result.ways.size() > 1 ? text + ' ' + wrinkle->way : text;
}

std::string frequency_cell(const SoundMode& mode, const std::vector<ShearBand>& bands)
{
    if (!mode.band) return in_hertz(mode.f_Hz);
    const bool is_shear = mode.wall && static_cast<std::size_t>(*mode.wall) < bands.size() &&
                          bands[static_cast<std::size_t>(*mode.wall)].is_mostly_shear();
    return with_band(mode.f_Hz, mode.band->low_Hz, mode.band->high_Hz) + (is_shear ? shear_mark : "");
}

std::string band_note(const SoundReport& report, const std::vector<std::size_t>& shown)
{
    std::vector<NotedMode> rows;
    for (const std::size_t m : shown) {
        const SoundMode& mode = report.result.modes[m];
        if (mode.wall) rows.push_back({m + 1, static_cast<std::size_t>(*mode.wall), mode.f_Hz});
    }
    return shear_note(report.result.sensitivity, rows);
}

std::vector<std::string> row(const SoundReport& report, std::size_t m, const std::vector<ShearBand>& bands)
{
    const SoundMode& mode = report.result.modes[m];
    const solver::ModeAtListener& heard = *mode.worst;
    const solver::ModeAtListener *at_listener = worst_at_listener(mode), *round = all_round(mode);
    std::vector<std::string> cells{
        fmt::format("{}", m + 1),
        frequency_cell(mode, bands),
        mode.name,
        significant(mode.Q, 2),
        at_listener ? in_decibels(at_listener->level_dB) : "–",
        round ? in_decibels(round->level_dB) : "–",
        fmt::format("{} / {}", in_decibels(heard.verdict.strict_dB), in_decibels(heard.verdict.lenient_dB)),
        verdict_words(heard.verdict),
        odds_words(heard.verdict),
        path_cell(mode),
        wrinkle_cell(report, mode)};
    if (report.result.listeners.size() > 1) cells.push_back(place_name(report, heard));
    return cells;
}

/// Gives names and paths what the other columns leave of the page: the paths what they need where both fit.
void fit_to_page(TextTable& table, std::size_t names, std::size_t paths)
{
    constexpr int least_for_paths = 17;
    const int left = table.width_left_for({names, paths});
    const int for_paths =
        std::min(table.natural_width(paths), std::max(least_for_paths, left - table.natural_width(names)));
    table.columns[paths].max_width = for_paths;
    table.columns[names].max_width = left - for_paths;
}

std::string table(const SoundReport& report, const std::vector<std::size_t>& shown)
{
    using enum Align;
    TextTable table;
    table.columns = {{"#", Right},     {"Hz", Left},      {"What rings", Left},      {"Q", Right},
                     {"dB", Right},    {"Round", Right},  {"Noticed", Left},         {"Verdict", Left},
                     {"Odds %", Left}, {"Through", Left}, {"Wrinkle, ohm", Left, 12}};
    if (report.result.listeners.size() > 1) table.columns.push_back({"Worst at", Left, 12});
    const std::vector<ShearBand> bands = shear_bands(report.result.sensitivity);
    for (const std::size_t m : shown) table.rows.push_back(row(report, m, bands));
    fit_to_page(table, 2, 9);
    return table.text();
}

/// "Between −19 and −8 dB nine times of ten."
std::string range_words(const Verdict& verdict)
{
    return fmt::format("Between {} and {} dB nine times of ten.", in_decibels(verdict.low_dB),
                       in_decibels(verdict.high_dB));
}

std::string reasons(const SoundReport& report, const std::vector<std::size_t>& shown)
{
    using enum Align;
    TextTable list;
    list.columns = {{"#", Right}, {"Why", Left}};
    for (const std::size_t m : shown) {
        const SoundMode& mode = report.result.modes[m];
        std::string text = mode.reason;
        if (!text.empty() && text.back() != '.') text += '.';
        list.rows.push_back({fmt::format("{}", m + 1), text + ' ' + range_words(mode.worst->verdict)});
    }
    list.columns.back().max_width = page_width - list.width_without_last();
    return '\n' + list.text();
}

/// "No 2" or "Nos 2, 5"; empty for none.
template <class Tells> // a predicate of a mode; callers differ
std::string numbers_of(const SoundReport& report, const std::vector<std::size_t>& shown, Tells tells)
{
    std::vector<std::size_t> numbers;
    for (const std::size_t m : shown)
        if (tells(report.result.modes[m])) numbers.push_back(m + 1);
    if (numbers.empty()) return {};
    std::sort(numbers.begin(), numbers.end());
    std::string text = numbers.size() == 1 ? "No " : "Nos ";
    for (std::size_t i = 0; i < numbers.size(); ++i) text += fmt::format("{}{}", i > 0 ? ", " : "", numbers[i]);
    return text;
}

/// What the ear makes of some of the modes beyond their level.
std::string ear_notes(const SoundReport& report, const std::vector<std::size_t>& shown)
{
    const auto of = [&](bool Verdict::*flag) {
        return numbers_of(report, shown, [&](const SoundMode& mode) { return mode.worst->verdict.*flag; });
    };
    std::string text;
    if (const std::string those = of(&Verdict::rings_long); !those.empty()) {
        double longest = 0;
        for (const std::size_t m : shown)
            if (report.result.modes[m].worst->verdict.rings_long)
                longest = std::max(longest, report.result.modes[m].T60_s);
        text += wrapped(fmt::format("{}: the tail (up to {} s to fall by 60 dB) is long enough to be noticed as such; "
                                    "the level still decides.",
                                    those, significant(longest, 2)));
    }
    if (const std::string those = of(&Verdict::most_sensitive); !those.empty())
        text += wrapped(those + ": between 125 and 500 Hz, where ears find resonances most easily.");
    if (const std::string those = of(&Verdict::low_confidence); !those.empty())
        text += wrapped(those + ": below 100 Hz the levels at which one notices are higher and depend on much else; "
                                "little confidence.");
    return text.empty() ? text : '\n' + text;
}

std::string legend()
{
    return '\n' +
           wrapped(
               "dB: the resonance's own sound at its peak against the direct sound there (cones and ports in a "
               "box that stands still); Round: its power in all directions against the direct power, what a room "
               "hears. The worse of both is judged. Noticed: from where trained ears notice it in noise / in popular "
               "music. Audible: over the second; borderline: from 5 dB under the first (10 dB up to Q 3, 7.5 at 10).") +
           wrapped(
               "Odds: that it is audible / at least borderline, by the ranges of materials, joints, feet and losses, "
               "and 3 dB for what they do not hold. A wall that may lie on a wave of the air has a wide level. Hz ±: "
               "what those ranges allow.") +
           wrapped("Through: the cone's reaction on its frame or the sound pressure inside and out, with its share; "
                   "over 100 % the other works against it. Wrinkle: change of the impedance at most, with its share.");
}

std::string left_out(std::size_t n_hidden)
{
    if (n_hidden == 0) return {};
    return wrapped(fmt::format("{} inaudible {} left out; --all lists {}.", n_hidden,
                               n_hidden == 1 ? "one is" : "ones are", n_hidden == 1 ? "it" : "them"));
}

} // namespace

std::string sound_text(const SoundReport& report, bool all)
{
    const std::vector<std::size_t> order = modes_by_verdict(report.result.modes);
    std::vector<std::size_t> shown;
    for (const std::size_t m : order)
        if (all || matters(report.result.modes[m])) shown.push_back(m);

    std::string text = sound_head(report) + answer(report, order);
    if (!shown.empty()) text += '\n' + table(report, shown);
    text += left_out(order.size() - shown.size());
    if (!shown.empty()) text += band_note(report, shown) + reasons(report, shown) + ear_notes(report, shown) + legend();
    return text + sound_facts(report) + sound_effort(report) + sound_cautions();
}

} // namespace stillwall::app
