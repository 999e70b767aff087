#include "app/write/internal/cabinet_chambers.h"

#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/air.h"
#include "mesh/cabinet/air_line.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/units.h"
#include "solver/drive/box_tuning.h"
#include "solver/drive/line_name.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <set>

namespace stillwall::app {
namespace {

using enum Align;

const Opening& opening_of(const Cabinet& cabinet, const Chamber::Hole& hole)
{
    return cabinet.board(hole.board).openings.at(static_cast<std::size_t>(hole.opening));
}

std::string listed(const std::vector<std::string>& names)
{
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text.empty() ? "–" : text;
}

/// Names of a chamber's openings with or without a cone.
std::vector<std::string> names_of(const Cabinet& cabinet, const Chamber& chamber, bool with_cone)
{
    std::vector<std::string> names;
    for (const Chamber::Hole& hole : chamber.openings) {
        const Opening& opening = opening_of(cabinet, hole);
        if (holds_cone(opening) == with_cone)
            names.push_back(opening.name + (opening.insert.closed_back ? " (closed back)" : ""));
    }
    return names;
}

/// Its tubes as `length` takes them: "; tube: length 153.2 mm".
std::string tube_words(const Cabinet& cabinet, const Chamber& chamber)
{
    std::string text;
    for (const Chamber::Hole& hole : chamber.openings)
        if (const auto& length = opening_of(cabinet, hole).insert.port_length)
            text += fmt::format("; {}: length {:.1f} mm", opening_of(cabinet, hole).name, *length / units::mm);
    return text;
}

std::string table_of(const Cabinet& cabinet, const std::vector<Chamber>& chambers,
                     const std::vector<std::optional<double>>& tunings)
{
    TextTable table;
    table.columns = {{"Chamber", Left, 30}, {"Litres net", Right},        {"Between boards", Right},
                     {"Cones", Left, 28},   {"Other openings", Left, 20}, {"Tuning Hz", Right}};
    for (std::size_t i = 0; i < chambers.size(); ++i) {
        const Chamber& chamber = chambers[i];
        table.rows.push_back({chamber.name, in_litres(chamber.volume), in_litres(chamber.lines.front().volume),
                              listed(names_of(cabinet, chamber, true)), listed(names_of(cabinet, chamber, false)),
                              tunings[i] ? fmt::format("{:.1f}", *tunings[i]) : "–"});
    }
    return '\n' + table.text();
}

/// A chamber that is a line, in words.
std::string line_words(const AirLine& line, bool is_open, const Air& air)
{
    const double whole = air.sound_speed / line.length(); // [Hz]
    const std::string waves = is_open ? fmt::format("open at one end: a quarter wave at {} Hz, three quarters at {} Hz",
                                                    in_hertz(whole / 4), in_hertz(3 * whole / 4))
                                      : fmt::format("shut at both ends: half a wave at {} Hz", in_hertz(whole / 2));
    return fmt::format("a line of {:.2g} m, {:.0f} cm² on the mean, {}; without filling, driver and end corrections",
                       line.length(), line.section() * 1e4, waves);
}

/// All that both forms tell.
struct Told
{
    explicit Told(const Cabinet& cabinet)
        : chambers{cabinet}, tunings{solver::chamber_tunings(cabinet, chambers)}, lines{air_lines(cabinet, chambers)}
    {
        for (const auto& [chamber, line] : lines) {
            const auto mouth = solver::mouth_of(cabinet, chambers, chamber, line);
            if (!mouth || !mouth->is_open_end(line)) continue;
            open_lines.insert(chamber);
            tunings[static_cast<std::size_t>(chamber)].reset(); // no spring and mass, but a wave
        }
    }

    Chambers chambers;
    std::vector<std::optional<double>> tunings; ///< [Hz]
    std::map<int, AirLine> lines;
    std::set<int> open_lines{};
};

} // namespace

std::string chambers_text(const CabinetReport& report)
{
    const Told told(report.cabinet);
    const std::vector<Chamber>& chambers = told.chambers.all();
    std::string text = chambers.size() > 1 ? table_of(report.cabinet, chambers, told.tunings) : "";
    const auto fact = [&text](const std::string& title, const std::string& words) {
        text += wrapped(words, std::string(10, ' '), title);
    };
    for (const auto& [chamber, line] : told.lines)
        fact("  Line    ",
             chambers[static_cast<std::size_t>(chamber)].name + ": " +
                 line_words(line, told.open_lines.count(chamber) > 0, air_at(report.cabinet.temperature)));
    for (std::size_t i = 0; i < chambers.size(); ++i) {
        if (!told.tunings[i]) continue;
        const std::string name = chambers.size() > 1 ? " of the " + chambers[i].name : "";
        fact("  Tuning  ", fmt::format("{:.1f} Hz{} by volume, tubes and their ends, without filling: an estimate; "
                                       "`sound` computes it{}",
                                       *told.tunings[i], name, tube_words(report.cabinet, chambers[i])));
    }
    return text;
}

nlohmann::ordered_json chambers_json(const CabinetReport& report)
{
    using Json = nlohmann::ordered_json;
    const Told told(report.cabinet);
    Json list = Json::array();
    for (std::size_t i = 0; i < told.chambers.all().size(); ++i) {
        const Chamber& chamber = told.chambers.all()[i];
        Json volumes = Json::array(), openings = Json::array();
        for (const VolumeLine& line : chamber.lines)
            volumes.push_back({{"name", line.name}, {"kind", line.kind}, {"volume_l", line.volume / units::litre}});
        for (const Chamber::Hole& hole : chamber.openings) {
            const Opening& opening = opening_of(report.cabinet, hole);
            Json entry{{"name", opening.name}, {"holds", insert_word(opening.insert.kind)}};
            if (opening.insert.port_length) entry["length_mm"] = *opening.insert.port_length / units::mm;
            openings.push_back(std::move(entry));
        }
        Json entry{{"name", chamber.name}, {"net_volume_l", chamber.volume / units::litre}};
        if (told.tunings[i]) entry["tuning_Hz"] = *told.tunings[i];
        if (const auto line = told.lines.find(static_cast<int>(i)); line != told.lines.end())
            entry["line"] = {{"length_m", line->second.length()},
                             {"section_cm2", line->second.section() * 1e4},
                             {"open_end", told.open_lines.count(line->first) > 0}};
        entry["openings"] = std::move(openings);
        entry["volume_lines"] = std::move(volumes);
        list.push_back(std::move(entry));
    }
    return list;
}

} // namespace stillwall::app
