// The comparison for other programs.

#include "app/verbs/compare/compare_report.h"
#include "app/write/cabinet_json.h"
#include "app/write/csv.h"
#include "app/write/finite.h"
#include "solver/choose/side_by_side.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;
using solver::SchemeMode;

Json mode_json(const SchemeMode& mode)
{
    Json json{{"kind", kind_word(mode.kind)},
              {"name", mode.name},
              {"board", mode.part},
              {"frequency_hz", finite(mode.f_Hz, "frequency")}};
    json["band_low_hz"] = mode.band ? Json(mode.band->low_Hz) : Json();
    json["band_high_hz"] = mode.band ? Json(mode.band->high_Hz) : Json();
    json["q"] = std::isfinite(mode.Q) ? Json(mode.Q) : Json();
    if (mode.worst) {
        const double level = mode.worst->level_dB, over = mode.worst->verdict.over_strict_dB;
        json["level_db"] = std::isfinite(level) ? Json(level) : Json();
        json["over_strict_db"] = std::isfinite(over) ? Json(over) : Json();
        json["verdict"] = solver::audibility_word(mode.worst->verdict.word);
    }
    return json;
}

Json optional_json(const std::optional<double>& value)
{
    return value ? Json(*value) : Json();
}

/// Silence is no number.
Json levels_json(const std::vector<double>& levels)
{
    Json list = Json::array();
    for (const double level : levels) list.push_back(std::isfinite(level) ? Json(level) : Json());
    return list;
}

/// A place that may be none, as −1.
Json place_json(const std::optional<std::size_t>& place)
{
    return place ? Json(*place) : Json(-1);
}

std::vector<std::size_t> best_schemes(const CompareReport& report)
{
    std::vector<std::optional<solver::VariantRank>> ranks;
    bool is_played = true;
    for (const NamedScheme& scheme : report.schemes) {
        const solver::SchemeFigures& f = scheme.computed.figures;
        const SchemeMode* first = f.at(f.first);
        is_played &= f.is_played;
        ranks.emplace_back();
        if (first != nullptr) ranks.back() = {first->f_Hz, solver::loudest_over_notice(f).value_or(0)};
    }
    return solver::best_first(ranks, is_played);
}

} // namespace

std::string compare_json(const CompareReport& report)
{
    Json schemes = Json::array();
    for (std::size_t s = 0; s < report.schemes.size(); ++s) {
        const solver::ComputedScheme& c = report.schemes[s].computed;
        const solver::SchemeFigures& f = c.figures;
        Json json{{"name", report.schemes[s].name},
                  {"is_played", f.is_played},
                  {"mass_kg", f.mass},
                  {"boards_mass_kg", f.board_mass},
                  {"net_volume_l", f.net_volume * 1e3},
                  {"board_area_m2", f.board_area},
                  {"tuning_hz", optional_json(f.tuning_Hz)},
                  {"price", optional_json(c.price)},
                  {"cuts", c.n_cuts},
                  {"walls_audible", f.n_audible},
                  {"walls_borderline", f.n_borderline},
                  {"air_waves_heard", f.n_air_heard},
                  {"first_wall_mode", place_json(f.first)},
                  {"loudest_wall", place_json(f.loudest)},
                  {"worst_mode", place_json(f.worst)},
                  {"seconds", c.seconds}};
        json["modes"] = Json::array();
        for (const SchemeMode& mode : f.modes) json["modes"].push_back(mode_json(mode));
        json["same_as_first"] = Json::array();
        for (std::size_t m = 0; m < report.met[s].size(); ++m)
            if (report.met[s][m].mode >= 0)
                json["same_as_first"].push_back(
                    {{"mode_of_first", m}, {"mode", report.met[s][m].mode}, {"likeness", report.met[s][m].likeness}});
        if (!c.frequency.empty())
            json["curves"] = {{"frequency_hz", c.frequency},
                              {"walls_against_direct_db", levels_json(c.walls_dB)},
                              {"impedance_ohm", levels_json(c.impedance)}};
        schemes.push_back(std::move(json));
    }
    Json document = document_head();
    document["title"] = report.title;
    document["upper_frequency_hz"] = report.f_max;
    document["accuracy"] = report.accuracy;
    document["without_drivers_figures"] = report.without_figures;
    document["best_first"] = best_schemes(report);
    document["schemes"] = std::move(schemes);
    return document.dump(2) + '\n';
}

std::string compare_csv(const CompareReport& report)
{
    std::string text =
        "scheme,number,kind,name,board,frequency_hz,q,level_db,over_strict_db,verdict,mode_of_first,likeness\n";
    for (std::size_t s = 0; s < report.schemes.size(); ++s) {
        const std::vector<SchemeMode>& modes = report.schemes[s].computed.figures.modes;
        for (std::size_t m = 0; m < modes.size(); ++m) {
            const SchemeMode& mode = modes[m];
            std::string of_first, likeness;
            for (std::size_t k = 0; k < report.met[s].size(); ++k)
                if (report.met[s][k].mode == static_cast<int>(m)) {
                    of_first = std::to_string(k + 1);
                    likeness = csv_number(report.met[s][k].likeness);
                }
            text +=
                csv_line({report.schemes[s].name, std::to_string(m + 1), kind_word(mode.kind), mode.name, mode.part,
                          csv_number(mode.f_Hz), csv_number(mode.Q), mode.worst ? csv_number(mode.worst->level_dB) : "",
                          mode.worst ? csv_number(mode.worst->verdict.over_strict_dB) : "",
                          mode.worst ? solver::audibility_word(mode.worst->verdict.word) : "", of_first, likeness});
        }
    }
    return text;
}

} // namespace stillwall::app
