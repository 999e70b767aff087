#include "app/verbs/knock/knock_report.h"

#include "app/write/cabinet_json.h"
#include "app/write/finite.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

const char* fault_word(solver::KnockFault fault)
{
    switch (fault) {
    case solver::KnockFault::Silent:
        return "silent";
    case solver::KnockFault::TooShort:
        return "cut_off";
    case solver::KnockFault::Clipped:
        return "clipped";
    case solver::KnockFault::NoKnock:
        return "no_knock";
    case solver::KnockFault::Noisy:
        return "noisy";
    }
    return "";
}

Json modes_array(const std::vector<solver::RungMode>& modes)
{
    Json list = Json::array();
    for (const solver::RungMode& m : modes)
        list.push_back({{"frequency_hz", finite(m.f_Hz.value, "a frequency")},
                        {"frequency_error_hz", finite(m.f_Hz.error, "a frequency's error")},
                        {"q", finite(m.Q.value, "a Q")},
                        {"q_error", finite(m.Q.error, "a Q's error")},
                        {"level_db", finite(m.level_dB, "a level")},
                        {"knocks", m.n_knocks}});
    return list;
}

} // namespace

std::string knock_json(const KnockReport& report)
{
    Json knocks = Json::array();
    for (const solver::Knock& k : report.result.knocks) {
        Json faults = Json::array();
        for (const solver::KnockFault fault : k.faults) faults.push_back(fault_word(fault));
        knocks.push_back({{"recording", k.recording},
                          {"at_s", finite(k.at_s, "a time")},
                          {"length_s", finite(k.length_s, "a time")},
                          {"over_noise_db", finite(k.over_noise_dB, "a level")},
                          {"used", k.is_used},
                          {"faults", std::move(faults)}});
    }
    Json document = document_head();
    document["recordings"] = report.understood;
    document["from_hz"] = report.result.f_from;
    document["to_hz"] = report.result.f_to;
    document["modes"] = modes_array(report.result.modes);
    document["of_room"] = modes_array(report.result.of_room);
    document["room_t60_s"] = report.result.room_s ? Json(*report.result.room_s) : Json(nullptr);
    document["knocks"] = std::move(knocks);
    document["spectrum"] = {{"frequency_hz", report.spectrum.f_Hz}, {"level_db", report.spectrum.level_dB}};
    document["warnings"] = report.result.warnings;
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
