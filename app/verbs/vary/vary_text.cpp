#include "app/verbs/vary/vary_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"
#include "solver/choose/side_by_side.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

using enum Align;

std::string joined(const std::vector<std::string>& words)
{
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::string table(const VaryReport& report, const std::vector<std::size_t>& rows)
{
    const bool has_price =
        std::any_of(report.rows.begin(), report.rows.end(), [](const VaryRow& r) { return r.price.has_value(); });
    const bool has_tuning =
        std::any_of(report.rows.begin(), report.rows.end(), [](const VaryRow& r) { return r.tuning_Hz.has_value(); });
    TextTable table;
    for (const std::string& axis : report.axes) table.columns.push_back({axis, Right, 26});
    table.columns.push_back({"First wall mode", Left, 26});
    if (report.is_played) {
        table.columns.push_back({"Worst wall", Left, 26});
        table.columns.push_back({"Over notice", Right});
        table.columns.push_back({"Heard", Left});
    }
    table.columns.push_back({"kg", Right});
    table.columns.push_back({"Litres", Right});
    if (has_tuning) table.columns.push_back({"Tuning Hz", Right});
    if (has_price) table.columns.push_back({"Price", Right});
    for (const std::size_t i : rows) {
        const VaryRow& row = report.rows[i];
        std::vector<std::string> cells = row.values;
        if (!has_figures(row)) {
            cells.push_back("cannot be built");
            cells.resize(table.columns.size());
            table.rows.push_back(std::move(cells));
            continue;
        }
        cells.push_back(row.first_Hz > 0 ? fmt::format("{} {} Hz", row.first_board, in_hertz(row.first_Hz)) : "none");
        if (report.is_played) {
            cells.push_back(row.loudest_Hz > 0 ? fmt::format("{} dB, {} {} Hz", in_decibels(row.loudest_dB),
                                                             row.loudest_board, in_hertz(row.loudest_Hz))
                                               : "–");
            cells.push_back(with_minus(fmt::format("{:+.1f} dB", row.over_dB)));
            cells.push_back(fmt::format("{} + {}", row.n_audible, row.n_borderline));
        }
        cells.push_back(in_kg(row.mass));
        cells.push_back(in_litres(row.net_volume));
        if (has_tuning) cells.push_back(row.tuning_Hz ? significant(*row.tuning_Hz, 3) : "–");
        if (has_price) cells.push_back(row.price ? fmt::format("{:.2f}", *row.price) : "–");
        table.rows.push_back(std::move(cells));
    }
    return table.text();
}

/// Reasons of those that could not be computed, each once with how often it came.
std::string problems(const VaryReport& report)
{
    std::vector<std::pair<std::string, std::vector<std::string>>> kinds;
    for (const VaryRow& row : report.rows) {
        if (row.problem.empty()) continue;
        auto found = std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) { return k.first == row.problem; });
        if (found == kinds.end()) found = kinds.insert(kinds.end(), {row.problem, {}});
        found->second.push_back(joined(row.values));
    }
    std::string text;
    constexpr std::size_t most = 6;
    for (std::size_t i = 0; i < std::min(most, kinds.size()); ++i) {
        const auto& [problem, where] = kinds[i];
        text += wrapped(fmt::format("at {}{}: {}", where.front(),
                                    where.size() > 1 ? fmt::format(" and {} more", where.size() - 1) : "", problem),
                        "    ", "  - ");
    }
    return text.empty() ? text : "\n  Not computed\n" + text;
}

} // namespace

bool has_figures(const VaryRow& row)
{
    return row.problem.empty() && row.mass > 0;
}

std::vector<std::size_t> best_rows(const VaryReport& report)
{
    std::vector<std::optional<solver::VariantRank>> ranks;
    for (const VaryRow& row : report.rows) {
        ranks.emplace_back();
        if (has_figures(row) && !row.modes.empty()) ranks.back() = {row.first_Hz, row.over_dB};
    }
    return solver::best_first(ranks, report.is_played);
}

std::string vary_text(const VaryReport& report)
{
    std::size_t n_computed = 0;
    for (const VaryRow& row : report.rows) n_computed += has_figures(row);
    std::string text = fmt::format("{}: {} of {} variants, to {} Hz, {} accuracy\n\n", report.title, n_computed,
                                   report.rows.size(), in_hertz(report.f_max), report.accuracy);
    const std::vector<std::size_t> best = best_rows(report);
    std::vector<std::size_t> shown(report.rows.size());
    for (std::size_t i = 0; i < shown.size(); ++i) shown[i] = i;
    constexpr std::size_t most = 40;
    if (report.axes.size() > 1 && shown.size() > most) {
        shown = best;
        shown.resize(std::min<std::size_t>(shown.size(), 12));
        text += "  The best of them:\n";
    }
    text += table(report, shown) + problems(report);
    if (!best.empty()) {
        const VaryRow& row = report.rows[best.front()];
        text += '\n' + wrapped(fmt::format("{}: {} at {}.", report.is_played ? "Quietest" : "Highest first mode",
                                           joined(report.axes), joined(row.values)));
    }
    if (report.is_played)
        text += fmt::format(
            "  Over notice: the wall nearest to being heard against what trained ears find in noise, typical.\n"
            "  Heard: walls audible + borderline below {} Hz. Draft levels lie within some 1.2 dB of fine ones.\n",
            in_hertz(report.f_max));
    return text;
}

} // namespace stillwall::app
