#include "app/verbs/modes/knob_words.h"
#include "app/verbs/modes/modes_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace stillwall::app {
namespace {

constexpr std::size_t n_rows = 8;

/// What one knob's step does to a mode, to first order.
struct Effect
{
    const solver::Knob* knob = nullptr;
    double f_Hz = 0;                ///< change
    double loss = 0;                ///< change
    double size = 0;                ///< what the rows are sorted by
    std::optional<std::size_t> met; ///< index of the mode it would run into
};

/// @return size 0 when the step is not worth talking about
Effect effect_of(const solver::Knob& knob, const solver::Slope& slope, const solver::Mode& mode)
{
    const double f_relative = std::exp(slope.ln_f * knob.step) - 1;
    Effect effect{&knob, mode.f_Hz * f_relative, slope.loss * knob.step, 0, {}};
    const double all_new = effect.loss != 0 ? 1 : 0; // a first loss where there was none
    const double loss_relative = mode.loss > 0 ? effect.loss / mode.loss : all_new;
    if (std::abs(f_relative) < 1e-3 && std::abs(loss_relative) < 1e-2) return effect;
    // One per cent of frequency counts as much as ten of damping: our choice, so that the usual steps of both mix in
    // the list.
    effect.size = std::abs(f_relative) + 0.1 * std::abs(loss_relative);
    return effect;
}

/// The nearest mode whose order with mode m the step turns round, to first order. There modes of like symmetry repel
/// each other and share their shapes: the true shift comes out smaller.
std::optional<std::size_t> met_mode(const std::vector<solver::Slope>& slopes, const solver::ModesResult& result,
                                    std::size_t m, double step)
{
    const auto before = [&](std::size_t i) { return result.modes[i].f_Hz; };
    const auto after = [&](std::size_t i) { return before(i) * std::exp(slopes[i].ln_f * step); };
    std::optional<std::size_t> met;
    if (std::abs(after(m) / before(m) - 1) < 1e-3) return met;
    for (std::size_t i = 0; i < result.modes.size(); ++i)
        if ((before(i) - before(m)) * (after(i) - after(m)) < 0 &&
            (!met || std::abs(before(i) - before(m)) < std::abs(before(*met) - before(m))))
            met = i;
    return met;
}

std::vector<Effect> largest_effects(const solver::ModesResult& result, std::size_t m)
{
    const solver::Worth& worth = *result.worth;
    std::vector<Effect> effects;
    for (std::size_t k = 0; k < worth.knobs.size(); ++k) {
        // A board's density comes with its material and is not chosen alone; --json holds it.
        if (worth.knobs[k].kind == solver::Knob::Kind::Density) continue;
        Effect effect = effect_of(worth.knobs[k], worth.slopes.at(k).at(m), result.modes[m]);
        effect.met = met_mode(worth.slopes[k], result, m, worth.knobs[k].step);
        if (std::isfinite(effect.size) && effect.size > 0) effects.push_back(effect);
    }
    std::stable_sort(effects.begin(), effects.end(), [](const Effect& a, const Effect& b) { return a.size > b.size; });
    if (effects.size() > n_rows) effects.resize(n_rows);
    return effects;
}

/// "+12", "−3.4", "0": a change rounded to `decimals`, with a true minus and no sign before zero.
std::string signed_words(double change, int decimals)
{
    const double unit = std::pow(10.0, -decimals);
    if (std::abs(change) < unit / 2) return "0";
    return fmt::format("{}{:.{}f}", change > 0 ? "+" : "−", std::abs(change), decimals);
}

std::string q_after(const solver::Mode& mode, double loss_change)
{
    const double loss = mode.loss + loss_change;
    return loss > 0 ? shortest(1 / loss, 3) : "–";
}

std::string effects_table(const std::vector<Effect>& effects, const solver::Mode& mode, const Cabinet& cabinet)
{
    using enum Align;
    TextTable table;
    table.columns = {{"Part", Left, 40}, {"Change", Left, 36}, {"by Hz", Right},
                     {"Q then", Right},  {"kg", Right},        {"", Left}};
    for (const Effect& effect : effects) {
        const double mass = effect.knob->mass_step;
        table.rows.push_back({knob_part(*effect.knob, cabinet), knob_change(*effect.knob, cabinet),
                              signed_words(effect.f_Hz, std::abs(effect.f_Hz) < 9.95 ? 1 : 0),
                              q_after(mode, effect.loss),
                              mass == 0 ? "–" : (mass < 0 ? "−" : "+") + significant(std::abs(mass), 2),
                              effect.met ? fmt::format("meets mode {}", *effect.met + 1) : ""});
    }
    return table.text("    ");
}

std::string mode_part(const ModesReport& report, std::size_t index)
{
    const solver::Mode& mode = report.result.modes[index];
    std::string title = fmt::format("What moves mode {}, {} Hz, Q {}: {}", index + 1, in_hertz(mode.f_Hz),
                                    q_words(mode), mode.shape_name);
    const std::vector<Effect> effects = largest_effects(report.result, index);
    const std::string body = effects.empty() ? "    No step tried moves it by 0.1 % or changes its damping by 1 %.\n"
                                             : effects_table(effects, mode, report.cabinet);
    return '\n' + wrapped(title, "  ") + body;
}

} // namespace

std::string worth_text(const ModesReport& report)
{
    if (!report.result.worth) return {};
    std::string text;
    for (const std::size_t index : modes_to_move(report.judged)) text += mode_part(report, index);
    text +=
        "\n  What moves a mode: to first order, each change alone, the outer sizes kept. Half the step does half, the "
        "other way the\n"
        "  opposite; small changes of several parts add up. Meets mode: the two may repel each other, and the shift "
        "comes "
        "out\n"
        "  smaller than told. Compute the changed cabinet before you cut.\n";
    for (const std::string& sentence : report.result.worth->left_out)
        text += wrapped("No figure for " + sentence, "  ");
    return text;
}

} // namespace stillwall::app
