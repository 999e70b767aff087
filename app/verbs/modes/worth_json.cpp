#include "app/verbs/modes/worth_json.h"

#include "app/verbs/modes/knob_words.h"
#include "app/write/finite.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json mode_worth(const solver::Slope& slope, double step, const solver::Mode& mode, std::size_t number)
{
    const double ln_f = finite(slope.ln_f, "a frequency's derivative");
    const double loss = finite(slope.loss, "a loss factor's derivative");
    return {{"number", number},
            {"frequency_derivative_hz_per_unit", finite(mode.f_Hz * ln_f, "a frequency's derivative")},
            {"ln_frequency_derivative_per_unit", ln_f},
            {"loss_factor_derivative_per_unit", loss},
            {"step_frequency_hz", finite(mode.f_Hz * std::exp(ln_f * step), "a frequency after a step")},
            {"step_loss_factor", finite(mode.loss + loss * step, "a loss factor after a step")}};
}

} // namespace

Json worth_json(const solver::Worth& worth, const solver::ModesResult& result)
{
    Json knobs = Json::array();
    for (std::size_t k = 0; k < worth.knobs.size(); ++k) {
        const solver::Knob& knob = worth.knobs[k];
        Json modes = Json::array();
        for (std::size_t m = 0; m < result.modes.size(); ++m)
            modes.push_back(mode_worth(worth.slopes.at(k).at(m), knob.step, result.modes[m], m + 1));
        knobs.push_back({{"kind", knob_kind(knob.kind)},
                         {"part", knob.part},
                         {"ply", knob.ply},
                         {"unit_of_p", knob_unit(knob.kind)},
                         {"step", finite(knob.step, "a step")},
                         {"mass_step_kg", finite(knob.mass_step, "a step's mass")},
                         {"modes", std::move(modes)}});
    }
    return {{"knobs", std::move(knobs)}, {"left_out", worth.left_out}};
}

} // namespace stillwall::app
