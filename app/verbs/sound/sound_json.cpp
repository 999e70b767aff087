#include "app/write/sound_report.h"

#include "app/write/antinodes_json.h"
#include "app/write/cabinet_json.h"
#include "app/write/finite.h"
#include "mesh/cabinet/units.h"
#include "solver/drive/verdicts.h"

#include <nlohmann/json.hpp>

#include <cassert>
#include <optional>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

template <class Curve> // vectors of Eigen and of the standard library
Json real_curve(const Curve& curve, std::string_view what)
{
    Json list = Json::array();
    for (const double value : curve) list.push_back(finite(value, what));
    return list;
}

/// Real and imaginary part: unlike level and phase they are numbers for silence too.
Json complex_curve(const Eigen::VectorXcd& curve, std::string_view what)
{
    return {{"re", real_curve(curve.real(), what)}, {"im", real_curve(curve.imag(), what)}};
}

Json place(const Vector3d& at)
{
    return Json::array({at.x() / units::mm, at.y() / units::mm, at.z() / units::mm});
}

Json listener_object(const SoundReport& report, const solver::HeardCurves& listener)
{
    Json sources = Json::array(), boards = Json::array();
    for (std::size_t s = 0; s < listener.sources.size(); ++s)
        sources.push_back({{"source", report.result.sources.at(s).name},
                           {"pressure_pa_rms", complex_curve(listener.sources[s], "a source's pressure")}});
    for (std::size_t b = 0; b < listener.boards.size(); ++b)
        boards.push_back({{"board", report.cabinet.boards.at(b).name},
                          {"pressure_pa_rms", complex_curve(listener.boards[b], "a board's pressure")}});
    return {{"name", listener.name},
            {"at_mm", place(listener.at)},
            {"total_pa_rms", complex_curve(listener.total, "a pressure")},
            {"direct_pa_rms", complex_curve(listener.direct, "the direct pressure")},
            {"reference_pa_rms", real_curve(listener.reference, "the reference")},
            {"walls_pa_rms", complex_curve(listener.walls, "the walls' pressure")},
            {"sources", std::move(sources)},
            {"boards", std::move(boards)}};
}

Json listeners_array(const SoundReport& report)
{
    Json list = Json::array();
    for (const solver::HeardCurves& listener : report.result.listeners)
        list.push_back(listener_object(report, listener));
    return list;
}

Json ways_array(const solver::SoundResult& result)
{
    Json list = Json::array();
    for (const solver::WayCurves& way : result.ways)
        list.push_back({{"name", way.name},
                        {"drivers", way.drivers},
                        {"impedance_ohm", complex_curve(way.impedance, "an impedance")},
                        {"impedance_still_walls_ohm", complex_curve(way.impedance_still, "an impedance")}});
    return list;
}

const char* source_word(solver::Source::Kind kind)
{
    switch (kind) {
    case solver::Source::Kind::Cone:
        return "cone";
    case solver::Source::Kind::Passive:
        return "passive";
    case solver::Source::Kind::Port:
        return "port";
    case solver::Source::Kind::Hole:
        return "hole";
    }
    assert(false);
    return "";
}

Json sources_array(const SoundReport& report)
{
    Json list = Json::array();
    for (std::size_t s = 0; s < report.result.sources.size(); ++s) {
        const solver::Source& source = report.result.sources[s];
        const solver::SourceMotion& motion = report.result.motion.at(s);
        list.push_back({{"name", source.name},
                        {"kind", source_word(source.kind)},
                        {"board", report.cabinet.board(source.board).name},
                        {"displacement_m_rms", complex_curve(motion.displacement, "a displacement")},
                        {"velocity_m_per_s_rms", complex_curve(motion.velocity, "a velocity")}});
    }
    return list;
}

Json heard_array(const SoundReport& report, const solver::SoundMode& mode)
{
    Json list = Json::array();
    for (const solver::ModeAtListener& heard : mode.heard) {
        const solver::Verdict& verdict = heard.verdict;
        list.push_back({{"listener", heard.listener ? Json(place_name(report, heard)) : Json(nullptr)},
                        {"place", place_name(report, heard)},
                        {"level_db", finite(heard.level_dB, "a mode's level")},
                        {"peak_hz", finite(heard.peak_Hz, "a mode's peak")},
                        {"verdict", audibility_word(verdict.word)},
                        {"strict_detection_db", finite(verdict.strict_dB, "a detection level")},
                        {"lenient_detection_db", finite(verdict.lenient_dB, "a detection level")},
                        {"over_strict_db", finite(verdict.over_strict_dB, "a distance from detection")},
                        {"level_low_db", finite(verdict.low_dB, "a level's lower end")},
                        {"level_high_db", finite(verdict.high_dB, "a level's upper end")},
                        {"odds_audible", finite(verdict.audible_odds, "odds")},
                        {"odds_heard", finite(verdict.heard_odds, "odds")},
                        {"rings_long", verdict.rings_long},
                        {"low_confidence", verdict.low_confidence},
                        {"most_sensitive", verdict.most_sensitive}});
    }
    return list;
}

Json wrinkles_array(const solver::SoundMode& mode)
{
    Json list = Json::array();
    for (const solver::Wrinkle& wrinkle : mode.wrinkles)
        list.push_back({{"way", wrinkle.way},
                        {"change_ohm", finite(wrinkle.ohm, "a wrinkle")},
                        {"phase_rad", finite(wrinkle.phase, "a wrinkle's phase")},
                        {"share_of_impedance", finite(wrinkle.share, "a wrinkle's share")},
                        {"frequency_hz", finite(wrinkle.f_Hz, "a wrinkle's frequency")}});
    return list;
}

Json text_or_null(const std::string& text)
{
    return text.empty() ? Json(nullptr) : Json(text);
}

Json board_or_null(const SoundReport& report, std::optional<int> board)
{
    return board ? Json(report.cabinet.board(*board).name) : Json(nullptr);
}

Json mode_object(const SoundReport& report, std::size_t m)
{
    const solver::SoundMode& mode = report.result.modes[m];
    const bool is_wall = mode.kind == solver::Resonance::Kind::Wall;
    const solver::ModeAtListener* at_listener = worst_at_listener(mode);
    return {{"number", m + 1},
            {"kind", kind_word(mode.kind)},
            {"name", mode.name},
            {"frequency_hz", finite(mode.f_Hz, "a frequency")},
            {"band_low_hz", mode.band ? Json(finite(mode.band->low_Hz, "a frequency's lower bound")) : Json(nullptr)},
            {"band_high_hz", mode.band ? Json(finite(mode.band->high_Hz, "a frequency's upper bound")) : Json(nullptr)},
            {"q", finite(mode.Q, "a Q")},
            {"ring_time_s", finite(mode.T60_s, "a ring time")},
            {"wall_mode_number", mode.wall ? Json(*mode.wall + 1) : Json(nullptr)},
            {"in_vacuo_hz",
             mode.wall
                 ? Json(finite(report.result.wall_modes.at(static_cast<std::size_t>(*mode.wall)).f_Hz, "a frequency"))
                 : Json(nullptr)},
            {"board", text_or_null(is_wall ? mode.part : "")},
            {"through", text_or_null(is_wall ? "" : mode.part)},
            {"force_share", finite(mode.force_share, "a share of the drive")},
            {"pressure_share", finite(mode.pressure_share, "a share of the drive")},
            {"driver", text_or_null(mode.driver)},
            {"worst_listener", at_listener ? Json(place_name(report, *at_listener)) : Json(nullptr)},
            {"worst_place", mode.worst ? Json(place_name(report, *mode.worst)) : Json(nullptr)},
            {"heard", heard_array(report, mode)},
            {"wrinkles", wrinkles_array(mode)},
            {"reason", mode.reason},
            {"antinodes", mode.wall ? antinodes_json(report.cabinet, report.result.drawn, report.result.shapes,
                                                     static_cast<std::size_t>(*mode.wall))
                                    : Json::array()}};
}

Json modes_array(const SoundReport& report)
{
    Json list = Json::array();
    for (std::size_t m = 0; m < report.result.modes.size(); ++m) list.push_back(mode_object(report, m));
    return list;
}

Json crossover_object(const Way& way)
{
    Json points = Json::array(), filters = Json::array();
    for (const CrossoverPoint& point : way.crossover)
        points.push_back({{"frequency_hz", point.frequency}, {"level_db", point.level}, {"phase_rad", point.phase}});
    for (const CrossoverFilter& filter : way.filters)
        filters.push_back(
            {{filter.is_low_pass ? "low_pass_hz" : "high_pass_hz", filter.frequency},
             {"order", filter.order},
             {"kind", filter.kind == CrossoverFilter::Kind::Butterworth ? "butterworth" : "linkwitz_riley"}});
    return {{"way", way.name},
            {"points", std::move(points)},
            {"filters", std::move(filters)},
            {"gain_db", way.gain_dB},
            {"delay_s", way.delay_s}};
}

Json setting_object(const SoundReport& report)
{
    const SoundSetting& setting = report.setting;
    Json crossovers = Json::array();
    for (const Way& way : setting.ways) crossovers.push_back(crossover_object(way));
    Json fillings = Json::array();
    for (const Filling& filling : setting.fillings)
        fillings.push_back({{"name", filling.name},
                            {"material", filling.material},
                            {"board", board_or_null(report, filling.board)},
                            {"flow_resistivity_pa_s_per_m2", finite(filling.flow_resistivity, "a flow resistivity")}});
    return {{"rigid_plane", setting.plane ? Json(setting.plane->name) : Json(nullptr)},
            {"leakage_q", setting.leakage_Q ? Json(*setting.leakage_Q) : Json(nullptr)},
            {"wall_absorption", finite(setting.wall_absorption, "the absorption")},
            {"fillings", std::move(fillings)},
            {"crossovers", std::move(crossovers)}};
}

Json answer_object(const solver::SoundResult& result)
{
    const solver::VerdictCount count = count_verdicts(result.modes);
    return {{"resonances", count.all()},
            {"audible", count.audible},
            {"borderline", count.borderline},
            {"inaudible", count.inaudible},
            {"outside_the_band", count.out_of_band},
            {"expected_audible", finite(count.expected_audible, "a sum of odds")},
            {"expected_heard", finite(count.expected_heard, "a sum of odds")}};
}

Json model_object(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    Json panel_sizes = Json::array();
    for (const double size : report.panel_sizes) panel_sizes.push_back(size / units::mm);
    return {{"accuracy", report.accuracy},
            {"shell_element_mm", report.shell_size / units::mm},
            {"air_element_mm", report.air_size / units::mm},
            {"panels_mm", std::move(panel_sizes)},
            {"shell_unknowns", result.n_shell},
            {"air_unknowns", result.n_air},
            {"panels", result.n_panels},
            {"wall_modes", result.n_wall_modes},
            {"air_modes", result.n_air_modes},
            {"frequencies", result.n_frequencies},
            {"radiation_error", finite(result.radiation_error, "the radiation's error")},
            {"reading_s", report.seconds_read},
            {"meshing_s", report.seconds_mesh},
            {"walls_s", result.seconds_walls},
            {"air_s", result.seconds_air},
            {"radiation_s", result.seconds_radiation},
            {"response_s", result.seconds_response}};
}

} // namespace

std::string sound_json(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    Json document = document_about({report.cabinet, report.books, report.outer_size});
    document["answer"] = answer_object(result);
    document["drive"] = {{"volts_rms", finite(result.volts, "the voltage")},
                         {"direct_level_1m_db", finite(result.level_dB, "the level")},
                         {"level_from_hz", result.level_from},
                         {"level_to_hz", result.level_to}};
    document["setting"] = setting_object(report);
    document["air_volume_l"] = finite(result.net_volume, "the volume") / units::litre;
    document["warnings"] = result.warnings;
    document["modes"] = modes_array(report);
    document["frequency_hz"] = real_curve(result.frequency, "a frequency");
    document["listeners"] = listeners_array(report);
    document["power_w"] = real_curve(result.power, "a power");
    document["power_walls_w"] = real_curve(result.power_walls, "a power");
    document["power_sources_w"] = real_curve(result.power_direct, "a power");
    document["ways"] = ways_array(result);
    document["sources"] = sources_array(report);
    document["model"] = model_object(report);
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
