#include "app/write/advice_report.h"
#include "app/write/numbers.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace stillwall::app {

std::string advice_text(const AdviceReport& report)
{
    using enum Align;
    if (report.mode.empty()) return {};
    std::string text = "\n" + wrapped(fmt::format("What to change first. Worst wall: {} at {} Hz, {} dB{}.",
                                                  report.mode, in_hertz(report.f_Hz), in_decibels(report.level_dB),
                                                  report.is_played ? "" : " (rough)"));
    if (report.changes.empty()) return text + "  None of the changes weighed makes it better.\n";
    TextTable table;
    table.columns = {{"Change", Left, 44},      {"That mode", Left}, {"Its dB", Left},
                     {"Worst wall then", Left}, {"kg", Right},       {"Litres", Right}};
    for (const AdvisedChange& c : report.changes)
        table.rows.push_back(
            {c.words,
             c.f_Hz > 0
                 ? fmt::format("{} Hz ({})", in_hertz(c.f_Hz), with_minus(fmt::format("{:+.0f}", c.f_Hz - report.f_Hz)))
                 : "gone",
             c.f_Hz > 0 ? with_minus(fmt::format("{:+.1f}", c.mode_dB - report.level_dB)) : "–",
             fmt::format("{} dB at {} Hz", with_minus(fmt::format("{:+.1f}", c.worst_over_dB - report.over_dB)),
                         in_hertz(c.worst_Hz)),
             with_minus(fmt::format("{:+.2f}", c.mass_change)),
             with_minus(fmt::format("{:+.2f}", c.volume_change * 1e3))});
    text += table.text();
    return text +
           fmt::format("  Each computed again by itself at draft accuracy ({} of {} weighed by derivatives, {}).\n",
                       report.n_computed, report.n_weighed, in_seconds(report.seconds));
}

std::string advice_json(const AdviceReport& report)
{
    nlohmann::ordered_json json{{"is_played", report.is_played},
                                {"worst_wall", report.mode},
                                {"frequency_hz", report.f_Hz},
                                {"level_db", report.level_dB}};
    json["changes"] = nlohmann::ordered_json::array();
    for (const AdvisedChange& c : report.changes) {
        nlohmann::ordered_json one{{"change", c.words}, {"variant", c.entry}};
        one["frequency_hz"] = c.f_Hz > 0 ? nlohmann::ordered_json(c.f_Hz) : nlohmann::ordered_json();
        one["level_change_db"] =
            c.f_Hz > 0 ? nlohmann::ordered_json(c.mode_dB - report.level_dB) : nlohmann::ordered_json();
        one["worst_wall_change_db"] = c.worst_over_dB - report.over_dB;
        one["worst_wall_hz"] = c.worst_Hz;
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
