#include "app/verbs/vary/vary_report.h"
#include "app/write/cabinet_json.h"
#include "app/write/finite.h"
#include "mesh/cabinet/units.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json optional_json(const std::optional<double>& value)
{
    return value ? Json(*value) : Json();
}

const char* verdict_word(char word)
{
    return word == 'a' ? "audible" : word == 'b' ? "borderline" : word == 'i' ? "inaudible" : "not played";
}

Json modes_array(const VaryRow& row, bool is_played)
{
    Json list = Json::array();
    for (const VaryRow::ModePoint& mode : row.modes)
        list.push_back({{"frequency_hz", finite(mode.f_Hz, "a frequency")},
                        {"level_db", is_played ? Json(finite(mode.level_dB, "a level")) : Json()},
                        {"verdict", verdict_word(mode.word)}});
    return list;
}

Json row_json(const VaryRow& row, bool is_played)
{
    Json json{{"values", row.values}, {"problem", row.problem}};
    if (!has_figures(row)) return json;
    json["first_wall_mode_hz"] = row.first_Hz > 0 ? Json(row.first_Hz) : Json();
    json["first_board"] = row.first_board;
    if (is_played && !row.modes.empty()) {
        json["worst_wall"] = {{"board", row.loudest_board},
                              {"frequency_hz", finite(row.loudest_Hz, "a frequency")},
                              {"level_db", finite(row.loudest_dB, "a level")},
                              {"over_strict_db", finite(row.over_dB, "a level")}};
        json["walls_audible"] = row.n_audible;
        json["walls_borderline"] = row.n_borderline;
        json["air_waves_heard"] = row.n_air_heard;
    }
    json["mass_kg"] = row.mass;
    json["net_volume_l"] = row.net_volume / units::litre;
    json["board_area_m2"] = row.board_area;
    json["tuning_hz"] = optional_json(row.tuning_Hz);
    json["price"] = optional_json(row.price);
    json["modes"] = modes_array(row, is_played);
    return json;
}

} // namespace

std::string vary_json(const VaryReport& report)
{
    Json document = document_head();
    document["title"] = report.title;
    document["is_played"] = report.is_played;
    document["upper_frequency_hz"] = report.f_max;
    document["accuracy"] = report.accuracy;
    document["changed"] = report.axes;
    document["values"] = report.values;
    document["rows"] = Json::array();
    for (const VaryRow& row : report.rows) document["rows"].push_back(row_json(row, report.is_played));
    document["best_first"] = best_rows(report);
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
