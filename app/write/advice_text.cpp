#include "app/write/advice_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace stillwall::app {

namespace {

/// "−12 dB"; of an unplayed mode nothing: its coupling is told as a ratio.
std::string level_words(const solver::SchemeMode& mode)
{
    return mode.worst ? in_decibels(mode.worst->level_dB) + " dB" : "";
}

/// "−12 → −17 dB", or "coupled 0.45 times as strongly".
std::string before_and_after(const solver::SchemeMode& before, const solver::SchemeMode& after)
{
    if (before.worst && after.worst)
        return fmt::format("{} → {} dB", in_decibels(before.worst->level_dB), in_decibels(after.worst->level_dB));
    return fmt::format("× {}", significant(std::pow(10, (nearness_dB(after) - nearness_dB(before)) / 20), 2));
}

} // namespace

std::string advice_text(const solver::Advice& advice)
{
    using enum Align;
    if (!advice.worst) return {};
    const solver::SchemeMode& worst = *advice.worst;
    std::string text =
        "\n" + wrapped(fmt::format("What to change first. Worst wall: {} at {} Hz{}.", worst.name, in_hertz(worst.f_Hz),
                                   advice.is_played ? ", " + level_words(worst) : "; not played, by its coupling"));
    if (advice.changes.empty()) return text + "  None of the changes weighed makes it better.\n";
    TextTable table;
    table.columns = {
        {"Change", Left, 40},          {"That mode, Hz", Left}, {advice.is_played ? "Its level" : "Its coupling", Left},
        {"Worst wall then", Left, 30}, {"kg", Right},           {"Litres", Right}};
    for (const solver::AdvisedChange& c : advice.changes) {
        std::string then = "none";
        if (c.worst)
            then = fmt::format("{} at {} Hz: {}", c.worst->name, in_hertz(c.worst->f_Hz),
                               advice.is_played ? level_words(*c.worst) : before_and_after(worst, *c.worst));
        table.rows.push_back(
            {c.words, c.same ? fmt::format("{} → {}", in_hertz(worst.f_Hz), in_hertz(c.same->f_Hz)) : "gone",
             c.same ? before_and_after(worst, *c.same) : "–", then, with_minus(fmt::format("{:+.2f}", c.mass_change)),
             with_minus(fmt::format("{:+.2f}", c.volume_change * 1e3))});
    }
    text += table.text();
    return text +
           fmt::format("  Each computed again by itself at draft accuracy ({} of {} weighed by derivatives, {}).\n",
                       advice.n_computed, advice.n_weighed, in_seconds(advice.seconds));
}

std::string advice_json(const solver::Advice& advice)
{
    using Json = nlohmann::ordered_json;
    const solver::SchemeMode worst = advice.worst.value_or(solver::SchemeMode{});
    const auto level = [](const solver::SchemeMode& mode) {
        return mode.worst ? Json(mode.worst->level_dB) : Json(nullptr);
    };
    Json json{{"is_played", advice.is_played},
              {"worst_wall", worst.name},
              {"frequency_hz", worst.f_Hz},
              {"level_db", level(worst)}};
    json["changes"] = Json::array();
    for (const solver::AdvisedChange& c : advice.changes) {
        Json one{{"change", c.words}, {"variant", c.entry}};
        one["frequency_hz"] = c.same ? Json(c.same->f_Hz) : Json(nullptr);
        one["level_db"] = c.same ? level(*c.same) : Json(nullptr);
        one["nearness_change_db"] = c.same ? Json(nearness_dB(*c.same) - nearness_dB(worst)) : Json(nullptr);
        one["worst_wall"] = c.worst ? Json(c.worst->name) : Json(nullptr);
        one["worst_wall_hz"] = c.worst ? Json(c.worst->f_Hz) : Json(nullptr);
        one["worst_wall_level_db"] = c.worst ? level(*c.worst) : Json(nullptr);
        one["worst_wall_nearness_change_db"] = c.worst_over_dB() - nearness_dB(worst);
        one["mass_change_kg"] = c.mass_change;
        one["volume_change_l"] = c.volume_change * 1e3;
        json["changes"].push_back(std::move(one));
    }
    return json.dump(2);
}

std::string with_key(const std::string& object, const std::string& key, const std::string& value)
{
    nlohmann::ordered_json json = nlohmann::ordered_json::parse(object);
    json[key] = nlohmann::ordered_json::parse(value);
    return json.dump(2) + '\n';
}

} // namespace stillwall::app
