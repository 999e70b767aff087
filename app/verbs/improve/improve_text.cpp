#include "app/verbs/improve/improve_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_curves.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <limits>

namespace stillwall::app {
namespace {

using enum Align;
using Aim = ImproveAsk::Aim;

std::string aim_words(Aim aim)
{
    switch (aim) {
    case Aim::Quietest:
        return "the quietest walls";
    case Aim::FirstMode:
        return "the highest first mode";
    case Aim::Cheapest:
        return "the cheapest with no wall heard";
    case Aim::Lightest:
        return "the lightest with no wall heard";
    }
    return {};
}

/// "a", "b", … for the columns of the choices.
std::string letter(std::size_t choice)
{
    return std::string(1, static_cast<char>('a' + choice)); // at most 20 of them
}

std::string choices_legend(const ImproveReport& report)
{
    std::string text;
    for (std::size_t i = 0; i < report.choices.size(); ++i)
        text += wrapped(letter(i) + "  " + report.choices[i], "     ", "  ");
    return text + '\n';
}

std::vector<std::string> cells(const ImproveReport& report, const std::string& name, const Tried& draft,
                               const Tried& checked)
{
    std::vector<std::string> row{name};
    row.insert(row.end(), draft.values.begin(), draft.values.end());
    row.push_back(checked.first_Hz > 0 ? fmt::format("{} {} Hz", checked.first_board, in_hertz(checked.first_Hz))
                                       : "none");
    if (checked.is_played) {
        row.push_back(fmt::format("{} dB, {} {} Hz", in_decibels(checked.loudest_dB), checked.loudest_board,
                                  in_hertz(checked.loudest_Hz)));
        row.push_back(fmt::format("{} ({})", with_minus(fmt::format("{:+.1f}", checked.over_dB)),
                                  with_minus(fmt::format("{:+.1f}", draft.over_dB))));
        row.push_back(fmt::format("{} + {}", checked.n_audible, checked.n_borderline));
    }
    row.push_back(in_kg(checked.mass));
    row.push_back(in_litres(checked.net_volume));
    if (report.drawn.price) row.push_back(checked.price ? fmt::format("{:.2f}", *checked.price) : "–");
    return row;
}

std::string table(const ImproveReport& report)
{
    TextTable table;
    table.columns = {{"#", Right}};
    for (std::size_t i = 0; i < report.choices.size(); ++i) table.columns.push_back({letter(i), Right, 14});
    table.columns.push_back({"First mode", Left, 15});
    if (report.drawn.is_played) {
        table.columns.push_back({"Loudest wall", Left, 16});
        table.columns.push_back({"Over notice", Right});
        table.columns.push_back({"Heard", Left});
    }
    table.columns.push_back({"kg", Right});
    table.columns.push_back({"Litres", Right});
    if (report.drawn.price) table.columns.push_back({"Price", Right});
    table.rows.push_back(cells(report, "drawn", report.drawn, report.drawn_checked));
    int number = 0;
    for (const FrontPoint& point : report.front)
        table.rows.push_back(
            cells(report, fmt::format("{}", ++number), point.draft, point.checked.value_or(point.draft)));
    return table.text();
}

/// A YAML scalar that cannot be mistaken.
std::string scalar(const std::string& text)
{
    const bool is_plain = text.find_first_of(":#,[]{}\"'&*!|>%@`") == std::string::npos ||
                          (text.ends_with(" %") && text.find_first_of(":#") == std::string::npos);
    return is_plain ? text : "\"" + text + "\"";
}

nlohmann::ordered_json tried_json(const Tried& tried, const std::vector<std::string>& choices)
{
    nlohmann::ordered_json json;
    for (std::size_t i = 0; i < choices.size() && i < tried.values.size(); ++i)
        json["choices"][choices[i]] = tried.values[i];
    json["first_wall_mode_hz"] = tried.first_Hz;
    if (tried.is_played) {
        json["loudest_wall_db"] = tried.loudest_dB;
        json["loudest_wall_hz"] = tried.loudest_Hz;
        json["loudest_board"] = tried.loudest_board;
        json["over_strict_db"] = tried.over_dB;
        json["walls_audible"] = tried.n_audible;
        json["walls_borderline"] = tried.n_borderline;
    }
    json["mass_kg"] = tried.mass;
    json["net_volume_l"] = tried.net_volume * 1e3;
    json["price"] = tried.price ? nlohmann::ordered_json(*tried.price) : nlohmann::ordered_json();
    json["keeps_limits"] = tried.is_within;
    return json;
}

} // namespace

double merit(const ImproveAsk& ask, const Tried& tried)
{
    switch (ask.aim) {
    case Aim::Quietest:
        return tried.over_dB;
    case Aim::FirstMode:
        return tried.first_Hz > 0 ? -tried.first_Hz : -1e6; // none below the upper frequency: nothing is higher
    case Aim::Cheapest:
        return tried.price.value_or(std::numeric_limits<double>::infinity());
    case Aim::Lightest:
        return tried.mass;
    }
    return 0;
}

bool is_good_enough(const ImproveAsk& ask, const Tried& tried)
{
    const bool needs_silence = ask.aim == Aim::Cheapest || ask.aim == Aim::Lightest;
    return !needs_silence || tried.n_audible + tried.n_borderline == 0;
}

Tried tried_of(const ComputedScheme& scheme)
{
    const solver::SchemeFigures& f = scheme.figures;
    Tried tried;
    tried.is_played = f.is_played;
    const auto at = [&](int i) -> const solver::SchemeMode& { return f.modes[static_cast<std::size_t>(i)]; };
    if (f.first >= 0) {
        tried.first_Hz = at(f.first).f_Hz;
        tried.first_board = at(f.first).board;
    }
    if (f.loudest >= 0) {
        tried.loudest_dB = at(f.loudest).level_dB;
        tried.loudest_Hz = at(f.loudest).f_Hz;
        tried.loudest_board = at(f.loudest).board;
    }
    tried.over_dB = solver::loudest_over_notice(f).value_or(0);
    tried.n_audible = f.n_audible;
    tried.n_borderline = f.n_borderline;
    tried.mass = f.mass;
    tried.net_volume = f.net_volume;
    tried.price = scheme.price;
    return tried;
}

std::string variant_entry(const std::string& name, const std::vector<Setting>& settings)
{
    std::string change, remove;
    for (const Setting& s : settings) {
        if (s.takes_out)
            remove += (remove.empty() ? "" : ", ") + scalar(s.path);
        else
            change += (change.empty() ? "" : ", ") + fmt::format("{}: {}", scalar(s.path), scalar(s.text));
    }
    std::string text = fmt::format("  - name: {}\n", name);
    if (!change.empty()) text += fmt::format("    change: {{{}}}\n", change);
    if (!remove.empty()) text += fmt::format("    remove: [{}]\n", remove);
    return text;
}

std::string improve_text(const ImproveReport& report)
{
    std::string text =
        fmt::format("{}: {}, to {} Hz\n\n", report.title, aim_words(report.ask.aim), in_hertz(report.f_max));
    text += choices_legend(report) + table(report);
    text +=
        '\n' +
        wrapped(
            fmt::format(
                "{} cabinets; {} combinations of the choices, {} of them excluded by the limits or not to be built{}",
                report.tried.size(), report.n_combinations, report.n_excluded,
                report.saw_all ? "" : "; not all were tried, raise --tries"),
            "          ", "  Tried   ");
    if (report.n_failed > 0) text += fmt::format("          {} could not be meshed or solved\n", report.n_failed);
    text += fmt::format("  Time    {}\n", in_seconds(report.seconds));
    const FrontPoint& best = report.front.front();
    const Tried& found = best.checked.value_or(best.draft);
    if (!is_good_enough(report.ask, found)) text += "\n  None keeps every wall below notice: number 1 comes nearest.\n";
    const double gain = report.drawn_checked.is_played ? report.drawn_checked.over_dB - found.over_dB : 0;
    std::string story =
        fmt::format("Number 1 against the drawing: first mode {} Hz, {} kg, {} litres",
                    with_minus(fmt::format("{:+.0f}", found.first_Hz - report.drawn_checked.first_Hz)),
                    with_minus(fmt::format("{:+.2f}", found.mass - report.drawn_checked.mass)),
                    with_minus(fmt::format("{:+.2f}", (found.net_volume - report.drawn_checked.net_volume) * 1e3)));
    if (found.is_played) story += fmt::format(", worst wall {} dB", with_minus(fmt::format("{:+.1f}", -gain)));
    text += '\n' + wrapped(story + ".");
    if (!best.settings.empty())
        text +=
            "\n  To paste under 'variants:' and look at with `compare`:\n" + variant_entry("improved", best.settings);
    text += "\n  The others are the trade-off: less of what is sought, but lighter" +
            std::string(report.ask.aim == Aim::Cheapest ? " or cheaper" : "") + ".\n";
    if (report.drawn.is_played)
        text +=
            "  Over notice: dB of the wall nearest to being heard against what trained ears find in noise, ± 8 dB; in "
            "brackets as the\n"
            "  search saw it, at draft accuracy. Differences under 1 dB are none. Heard: walls audible + borderline.\n";
    return text;
}

std::string improve_json(const ImproveReport& report)
{
    using Json = nlohmann::ordered_json;
    constexpr const char* words[] = {"quietest", "first_mode", "cheapest", "lightest"};
    Json json{{"title", report.title},
              {"aim", words[static_cast<int>(report.ask.aim)]},
              {"upper_frequency_hz", report.f_max}};
    json["combinations"] = report.n_combinations;
    json["excluded"] = report.n_excluded;
    json["all_combinations_tried"] = report.saw_all;
    json["drawn"] = tried_json(report.drawn_checked, report.choices);
    json["front"] = Json::array();
    for (const FrontPoint& point : report.front) {
        Json one = tried_json(point.checked.value_or(point.draft), report.choices);
        one["draft"] = tried_json(point.draft, report.choices);
        json["front"].push_back(std::move(one));
    }
    json["tried"] = Json::array();
    for (const Tried& tried : report.tried) json["tried"].push_back(tried_json(tried, report.choices));
    return json.dump(2) + '\n';
}

SchemePlot improve_plot(const ImproveReport& report)
{
    const bool by_first = report.ask.aim == Aim::FirstMode, by_price = report.ask.aim == Aim::Cheapest;
    const auto across = [&](const Tried& t) { return by_price ? t.price.value_or(0) : t.mass; };
    const auto up = [&](const Tried& t) { return by_first ? t.first_Hz : t.over_dB; };
    PlotPanel panel{.height = 480};
    double low_x = across(report.drawn), high_x = low_x, low_y = up(report.drawn), high_y = low_y;
    const auto include = [&](const Tried& t) {
        low_x = std::min(low_x, across(t)), high_x = std::max(high_x, across(t));
        low_y = std::min(low_y, up(t)), high_y = std::max(high_y, up(t));
    };
    PlotLine front{"trade-off", {}, {}, pen(0)};
    std::vector<const Tried*> ordered;
    for (const FrontPoint& point : report.front) ordered.push_back(&point.draft);
    std::sort(ordered.begin(), ordered.end(), [&](const Tried* a, const Tried* b) { return across(*a) < across(*b); });
    for (const Tried* t : ordered) {
        front.x.push_back(across(*t));
        front.y.push_back(up(*t));
    }
    int number = 0;
    for (const FrontPoint& point : report.front)
        panel.marks.push_back(
            {across(point.draft), up(point.draft), PlotMark::Symbol::Diamond, fmt::format("{}", ++number)});
    panel.marks.push_back({across(report.drawn), up(report.drawn), PlotMark::Symbol::Triangle, "drawn"});
    include(report.drawn);
    for (const Tried& t : report.tried) {
        if (t.is_within) panel.marks.push_back({across(t), up(t), PlotMark::Symbol::Circle, {}});
        if (t.is_within) include(t);
    }
    panel.lines = {front};
    const auto widen = [](double& low, double& high) {
        const double margin = std::max(0.06 * (high - low), 1e-3 * std::max(1.0, std::abs(high)));
        low -= margin, high += margin;
    };
    widen(low_x, high_x);
    widen(low_y, high_y);
    panel.y = {.title = by_first ? "First wall mode, Hz" : "Worst wall over notice, dB", .low = low_y, .high = high_y};
    Plot plot{.title = report.title + ": quietness against " + (by_price ? "price" : "weight"),
              .subtitle = "as the search saw them, draft accuracy",
              .x = {.title = by_price ? "Price of the boards" : "Weight, kg", .low = low_x, .high = high_x},
              .panels = {std::move(panel)}};
    plot.keys = {{.symbol = PlotMark::Symbol::Diamond, .text = "trade-off, numbers of the table"},
                 {.symbol = PlotMark::Symbol::Triangle, .text = "as drawn"},
                 {.symbol = PlotMark::Symbol::Circle, .text = "tried"}};
    return {"improve.svg", "quietness against " + std::string(by_price ? "price" : "weight"), svg_plot(plot)};
}

} // namespace stillwall::app
