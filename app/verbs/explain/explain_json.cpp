#include "app/verbs/explain/explain_report.h"

#include "app/write/cabinet_json.h"
#include "app/write/finite.h"
#include "mesh/cabinet/units.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json known(const solver::Known& k, std::string_view what)
{
    return {{"value", finite(k.value, what)}, {"error", finite(k.error, what)}};
}

Json number_or_null(double value)
{
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json cause_object(const ExplainReport& report, const solver::CauseOdds& cause)
{
    Json object = {{"cause", cause_word(report, cause)},
                   {"name", cause_name(report, cause)},
                   {"odds", finite(cause.odds, "odds")}};
    if (cause.candidate) {
        const solver::Candidate& c = report.explanation.suspects.candidates[static_cast<std::size_t>(*cause.candidate)];
        object["model"] = {{"frequency_hz", finite(c.f_Hz, "a frequency")},
                           {"frequency_error_hz", finite(c.f_Hz * c.f_band, "a frequency's error")},
                           {"q", finite(c.Q, "a Q")},
                           {"change_ohm", finite(c.ohm, "a wrinkle")},
                           {"resonance", c.resonance ? Json(*c.resonance + 1) : Json(nullptr)}};
    }
    return object;
}

const char* proof_word(solver::Proof::Kind kind)
{
    using Kind = solver::Proof::Kind;
    switch (kind) {
    case Kind::Putty:
        return "putty";
    case Kind::Filling:
        return "filling";
    case Kind::BlockPort:
        return "block_port";
    case Kind::FreeAir:
        return "free_air_sweep";
    case Kind::SwapDriver:
        return "swap_driver";
    case Kind::Feet:
        return "feet";
    case Kind::Repeat:
        return "repeat";
    }
    return "";
}

Json proof_object(const ExplainReport& report, const solver::ExplainedReading& r)
{
    if (!r.proof) return nullptr;
    Json object = {{"kind", proof_word(r.proof->kind)}, {"words", proof_words(report, r)}};
    if (const auto& putty = r.proof->putty) {
        object["board"] = report.cabinet.board(putty->board).name;
        const Vector3d& at = putty->at;
        object["at_mm"] = {at.x() / units::mm, at.y() / units::mm, at.z() / units::mm};
        object["mass_kg"] = putty->mass;
        object["first_falls_to_hz"] = number_or_null(putty->first_falls_to);
        object["second_falls_to_hz"] = number_or_null(putty->second_falls_to);
    }
    return object;
}

Json readings_array(const ExplainReport& report)
{
    Json list = Json::array();
    for (std::size_t i = 0; i < report.explanation.readings.size(); ++i) {
        const solver::ExplainedReading& r = report.explanation.readings[i];
        Json causes = Json::array();
        for (const solver::CauseOdds& cause : r.causes) causes.push_back(cause_object(report, cause));
        list.push_back(
            {{"measurement", measurement_word(report, r.reading)},
             {"frequency_hz", known(r.reading.f_Hz, "a frequency")},
             {"q", known(r.reading.Q, "a Q")},
             {"level_db", r.reading.ohm ? Json(nullptr) : Json(r.reading.level_dB)},
             {"change_ohm", r.reading.ohm ? known(*r.reading.ohm, "a wrinkle") : Json(nullptr)},
             {"causes", std::move(causes)},
             {"test", proof_object(report, r)},
             {"picture", i < report.picture_of.size() && !report.picture_of[i].empty() ? Json(report.picture_of[i])
                                                                                       : Json(nullptr)}});
    }
    return list;
}

Json humps_array(const std::vector<solver::Hump>& humps)
{
    Json list = Json::array();
    for (const solver::Hump& h : humps)
        list.push_back({{"frequency_hz", finite(h.f_Hz, "a frequency")},
                        {"q", finite(h.Q, "a Q")},
                        {"height_ohm", finite(std::abs(h.ohm), "a height")}});
    return list;
}

Json curve_json(const std::vector<double>& f_Hz, const Eigen::VectorXcd& Z)
{
    Json ohm = Json::array();
    for (const std::complex<double>& value : Z) ohm.push_back(finite(std::abs(value), "an impedance"));
    return {{"frequency_hz", f_Hz}, {"ohm", std::move(ohm)}};
}

} // namespace

std::string explain_json(const ExplainReport& report)
{
    const solver::Explanation& e = report.explanation;
    Json document = document_about({report.cabinet, report.books, report.outer_size});
    document["measured"] = report.understood;
    document["way"] = report.sound.ways.empty() ? Json(nullptr) : Json(report.sound.ways.at(e.way).name);
    document["readings"] = readings_array(report);
    if (report.sweep != nullptr)
        document["impedance"] = {
            {"measured", curve_json(report.sweep->f_Hz, report.sweep->Z)},
            {"computed", curve_json(report.sound.frequency, report.sound.ways.at(e.way).impedance)}};
    if (e.box)
        document["box"] = {
            {"kind", e.box->kind == solver::BoxKind::TwoHumps ? "two_humps" : "one_hump"},
            {"measured", humps_array(e.box->measured)},
            {"model", humps_array(e.box->model)},
            {"tuning_measured_hz", e.box->tuning_measured > 0 ? Json(e.box->tuning_measured) : Json(nullptr)},
            {"tuning_model_hz", e.box->tuning_model > 0 ? Json(e.box->tuning_model) : Json(nullptr)}};
    Json missing = Json::array();
    for (const int c : e.missing) {
        const solver::Candidate& candidate = e.suspects.candidates[static_cast<std::size_t>(c)];
        missing.push_back({{"name", candidate.name}, {"frequency_hz", candidate.f_Hz}, {"change_ohm", candidate.ohm}});
    }
    document["computed_but_not_seen"] = std::move(missing);
    Json left_out = Json::array();
    if (report.impedance != nullptr)
        for (const solver::Discarded& d : report.impedance->discarded)
            left_out.push_back({{"frequency_hz", d.f_Hz}, {"change_ohm", d.ohm}, {"reason", d.reason}});
    document["left_out"] = std::move(left_out);
    document["odds_as_drawn"] = e.odds.fidelity.empty() ? Json(nullptr) : Json(e.odds.fidelity[0]);
    document["free_air_wrinkles"] = report.free_air != nullptr ? Json(report.free_air->features.size()) : Json(nullptr);
    document["beam_lost"] = finite(e.odds.beam_lost, "a share");
    document["warnings"] = report.warnings;
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
