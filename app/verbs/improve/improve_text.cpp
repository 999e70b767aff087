#include "app/verbs/improve/improve_report.h"
#include "app/write/cabinet_json.h"
#include "app/write/numbers.h"
#include "app/write/price_note.h"
#include "app/write/sound_curves.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace stillwall::app {
namespace {

using enum Align;
using solver::AimFacts, solver::FrontPoint, solver::Setting, solver::Tried;

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

/// Where a first mode lies that was not found.
std::string above_all(double f_max)
{
    return fmt::format("over {} Hz", in_hertz(f_max));
}

/// "+12 Hz"; where the first mode of one of them lies over all that was computed, from where to where.
std::string first_mode_change(const Tried& found, const Tried& drawn, double f_max)
{
    if (found.first && drawn.first)
        return with_minus(fmt::format("{:+.0f}", found.first->f_Hz - drawn.first->f_Hz)) + " Hz";
    const auto place = [&](const Tried& tried) {
        return tried.first ? in_hertz(tried.first->f_Hz) + " Hz" : above_all(f_max);
    };
    return found.first || drawn.first ? fmt::format("{}, was {}", place(found), place(drawn))
                                      : fmt::format("{} in both", above_all(f_max));
}

std::vector<std::string> cells(const ImproveReport& report, const std::string& name, const Tried& draft,
                               const Tried& checked)
{
    std::vector<std::string> row{name};
    row.insert(row.end(), draft.values.begin(), draft.values.end());
    row.push_back(checked.first ? fmt::format("{} {} Hz", checked.first->part, in_hertz(checked.first->f_Hz))
                                : above_all(report.f_max));
    if (checked.is_played) {
        row.push_back(checked.loudest ? fmt::format("{} dB, {} {} Hz", in_decibels(checked.loudest->worst->level_dB),
                                                    checked.loudest->part, in_hertz(checked.loudest->f_Hz))
                                      : "none");
        row.push_back(fmt::format("{} ({})", with_minus(fmt::format("{:+.1f}", checked.over_notice())),
                                  with_minus(fmt::format("{:+.1f}", draft.over_notice()))));
        row.push_back(fmt::format("{} + {}", checked.n_audible, checked.n_borderline));
    }
    row.push_back(in_kg(checked.mass));
    row.push_back(in_litres(checked.net_volume));
    if (report.found.drawn.price) row.push_back(checked.price ? fmt::format("{:.2f}", *checked.price) : "–");
    return row;
}

std::string table(const ImproveReport& report)
{
    TextTable table;
    table.columns = {{"#", Right}};
    for (std::size_t i = 0; i < report.choices.size(); ++i) table.columns.push_back({letter(i), Right, 14});
    table.columns.push_back({"First mode", Left, 15});
    if (report.found.drawn.is_played) {
        table.columns.push_back({"Worst wall", Left, 16});
        table.columns.push_back({"Over notice", Right});
        table.columns.push_back({"Heard", Left});
    }
    table.columns.push_back({"kg", Right});
    table.columns.push_back({"Litres", Right});
    if (report.found.drawn.price) table.columns.push_back({"Price", Right});
    table.rows.push_back(cells(report, "drawn", report.found.drawn, report.found.drawn));
    int number = 0;
    for (const FrontPoint& point : report.found.front)
        table.rows.push_back(cells(report, fmt::format("{}", ++number), point.draft, point.known()));
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
    // Nothing: the first mode lies over the upper frequency.
    json["first_wall_mode_hz"] = tried.first ? nlohmann::ordered_json(tried.first->f_Hz) : nlohmann::ordered_json();
    if (tried.is_played) {
        json["loudest_wall_db"] = tried.loudest ? tried.loudest->worst->level_dB : 0.0;
        json["loudest_wall_hz"] = tried.loudest ? tried.loudest->f_Hz : 0.0;
        json["loudest_board"] = tried.loudest ? tried.loudest->part : std::string();
        json["over_strict_db"] = tried.over_notice();
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
    const solver::Improved& all = report.found;
    const AimFacts& aim = facts_of(report.ask.aim);
    std::string text = fmt::format("{}: {}, to {} Hz\n\n", report.title, aim.phrase, in_hertz(report.f_max));
    text += choices_legend(report) + table(report);
    text +=
        '\n' +
        wrapped(
            fmt::format(
                "{} cabinets; {} combinations of the choices, {} of them excluded by the limits or not to be built{}",
                all.tried.size(), all.n_combinations, all.n_excluded,
                all.saw_all ? "" : "; not all were tried, raise --tries"),
            "          ", "  Tried   ");
    if (all.n_failed > 0) text += fmt::format("          {} could not be meshed or solved\n", all.n_failed);
    text += fmt::format("  Time    {}\n", in_seconds(report.seconds));
    const FrontPoint& best = all.front.front();
    const Tried &found = best.known(), &drawn = all.drawn;
    if (!is_good_enough(report.ask, found)) text += "\n  None keeps every wall below notice: number 1 comes nearest.\n";
    if (!aim.plays && !found.first)
        text +=
            '\n' + wrapped(fmt::format("Number 1 has no mode below {} Hz, so that nothing tells it from others that "
                                       "have none: search again with a higher --upper.",
                                       in_hertz(report.f_max)));
    const bool is_drawing = found.values == drawn.values;
    if (is_drawing) text += "\n  Number 1 is the cabinet as drawn: of what was tried nothing serves better.\n";
    std::string story = fmt::format("Number 1 against the drawing: first mode {}, {} kg, {} litres",
                                    first_mode_change(found, drawn, report.f_max),
                                    with_minus(fmt::format("{:+.2f}", found.mass - drawn.mass)),
                                    with_minus(fmt::format("{:+.2f}", (found.net_volume - drawn.net_volume) * 1e3)));
    if (found.is_played)
        story += fmt::format(", worst wall {} dB",
                             with_minus(fmt::format("{:+.1f}", -(drawn.over_notice() - found.over_notice()))));
    if (!is_drawing) text += '\n' + wrapped(story + ".");
    if (!best.settings.empty() && !is_drawing)
        text +=
            "\n  To paste under 'variants:' and look at with `compare`:\n" + variant_entry("improved", best.settings);
    if (all.front.size() > 1)
        text += std::string("\n  The others are the trade-off: less of what is sought, but lighter") +
                (aim.is_by_price ? " or cheaper" : "") + ".\n";
    if (drawn.is_played)
        text +=
            fmt::format("  Worst wall: the one nearest to being heard. Over notice: its dB against what trained ears "
                        "find in noise, by typical figures; in\n  brackets as the search saw it, at draft accuracy. "
                        "Differences under 1 dB are none. Heard: walls audible + borderline\n  below {} Hz.\n",
                        in_hertz(report.f_max));
    if (drawn.price) text += price_note;
    return text;
}

std::string improve_json(const ImproveReport& report)
{
    using Json = nlohmann::ordered_json;
    const solver::Improved& all = report.found;
    Json json = document_head();
    json["title"] = report.title;
    json["aim"] = facts_of(report.ask.aim).word;
    json["aim_in_words"] = facts_of(report.ask.aim).phrase;
    json["by_price"] = facts_of(report.ask.aim).is_by_price;
    json["upper_frequency_hz"] = report.f_max;
    json["choices"] = report.choices;
    json["combinations"] = all.n_combinations;
    json["excluded"] = all.n_excluded;
    json["all_combinations_tried"] = all.saw_all;
    json["drawn"] = tried_json(all.drawn, {});
    json["front"] = Json::array();
    for (const FrontPoint& point : all.front) {
        Json one = tried_json(point.known(), report.choices);
        one["draft"] = tried_json(point.draft, report.choices);
        one["variant"] = point.settings.empty() ? std::string() : variant_entry("improved", point.settings);
        json["front"].push_back(std::move(one));
    }
    json["tried"] = Json::array();
    for (const Tried& tried : all.tried) json["tried"].push_back(tried_json(tried, report.choices));
    return json.dump(2) + '\n';
}

PlotFile improve_plot(const ImproveReport& report)
{
    const solver::Improved& all = report.found;
    const AimFacts& aim = facts_of(report.ask.aim);
    const bool by_first = !aim.plays, by_price = aim.is_by_price;
    const auto across = [&](const Tried& t) { return by_price ? t.price.value_or(0) : t.mass; };
    const auto up = [&](const Tried& t) {
        return by_first ? (t.first ? t.first->f_Hz : report.f_max) : t.over_notice();
    };
    PlotPanel panel{.height = 480};
    double low_x = across(all.drawn), high_x = low_x, low_y = up(all.drawn), high_y = low_y;
    const auto include = [&](const Tried& t) {
        low_x = std::min(low_x, across(t)), high_x = std::max(high_x, across(t));
        low_y = std::min(low_y, up(t)), high_y = std::max(high_y, up(t));
    };
    PlotLine front{"trade-off", {}, {}, pen(0)};
    std::vector<const Tried*> ordered;
    for (const FrontPoint& point : all.front) ordered.push_back(&point.draft);
    std::sort(ordered.begin(), ordered.end(), [&](const Tried* a, const Tried* b) { return across(*a) < across(*b); });
    for (const Tried* t : ordered) {
        front.x.push_back(across(*t));
        front.y.push_back(up(*t));
    }
    int number = 0;
    for (const FrontPoint& point : all.front)
        panel.marks.push_back(
            {across(point.draft), up(point.draft), PlotMark::Symbol::Diamond, fmt::format("{}", ++number)});
    panel.marks.push_back({across(all.drawn), up(all.drawn), PlotMark::Symbol::Triangle, "drawn"});
    include(all.drawn);
    for (const Tried& t : all.tried) {
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
