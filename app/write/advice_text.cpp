#include "app/write/advice_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace stillwall::app {

std::string advice_text(const solver::Advice& advice)
{
    using enum Align;
    if (!advice.worst) return {};
    const solver::SchemeMode& worst = *advice.worst;
    std::string text = "\n" + wrapped(fmt::format("What to change first. Worst wall: {} at {} Hz, {} dB{}.", worst.name,
                                                  in_hertz(worst.f_Hz), in_decibels(level_dB(worst)),
                                                  advice.is_played ? "" : " (rough)"));
    if (advice.changes.empty()) return text + "  None of the changes weighed makes it better.\n";
    TextTable table;
    table.columns = {{"Change", Left, 44},      {"That mode", Left}, {"Its dB", Left},
                     {"Worst wall then", Left}, {"kg", Right},       {"Litres", Right}};
    for (const solver::AdvisedChange& c : advice.changes)
        table.rows.push_back(
            {c.words,
             c.same ? fmt::format("{} Hz ({})", in_hertz(c.same->f_Hz),
                                  with_minus(fmt::format("{:+.0f}", c.same->f_Hz - worst.f_Hz)))
                    : "gone",
             c.same ? with_minus(fmt::format("{:+.1f}", level_dB(*c.same) - level_dB(worst))) : "–",
             fmt::format("{} dB at {} Hz",
                         with_minus(fmt::format("{:+.1f}", c.worst_over_dB() - level_over_notice_dB(worst))),
                         in_hertz(c.worst ? c.worst->f_Hz : 0)),
             with_minus(fmt::format("{:+.2f}", c.mass_change)),
             with_minus(fmt::format("{:+.2f}", c.volume_change * 1e3))});
    text += table.text();
    return text +
           fmt::format("  Each computed again by itself at draft accuracy ({} of {} weighed by derivatives, {}).\n",
                       advice.n_computed, advice.n_weighed, in_seconds(advice.seconds));
}

std::string advice_json(const solver::Advice& advice)
{
    using Json = nlohmann::ordered_json;
    const solver::SchemeMode worst = advice.worst.value_or(solver::SchemeMode{});
    const double worst_dB = advice.worst ? level_dB(worst) : 0,
                 worst_over = advice.worst ? level_over_notice_dB(worst) : 0;
    Json json{{"is_played", advice.is_played},
              {"worst_wall", worst.name},
              {"frequency_hz", worst.f_Hz},
              {"level_db", worst_dB}};
    json["changes"] = Json::array();
    for (const solver::AdvisedChange& c : advice.changes) {
        Json one{{"change", c.words}, {"variant", c.entry}};
        one["frequency_hz"] = c.same ? Json(c.same->f_Hz) : Json();
        one["level_change_db"] = c.same ? Json(level_dB(*c.same) - worst_dB) : Json();
        one["worst_wall_change_db"] = c.worst_over_dB() - worst_over;
        one["worst_wall_hz"] = c.worst ? c.worst->f_Hz : 0.0;
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
