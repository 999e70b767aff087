#include "solver/measured/strip.h"

#include "solver/measured/internal/bending_fit.h"
#include "solver/measured/internal/spread.h"
#include "solver/measured/internal/strip_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

constexpr double lowest_E = 1e6, highest_E = 1e12; // [Pa] foam to diamond
constexpr double least_residual = 0.015;           // bars of real board scatter by less
constexpr double torsion_residual = 0.05;
constexpr double lowest_static_ratio = 0.8, highest_static_ratio = 1.6;
constexpr double lowest_nu = -0.2, highest_nu = 0.6;
constexpr double most_ratio_error = 0.5; // above, the shear is lost in the scatter
constexpr double noise = 9;              // χ² of three standard deviations

double allowed_residual(const ModeReading& mode)
{
    return std::max(least_residual, 3 * mode.f.error / mode.f.value);
}

double worst_excess(const std::vector<ModeReading>& modes, const std::vector<double>& residuals)
{
    double worst = 0;
    for (std::size_t i = 0; i < modes.size(); ++i)
        worst = std::max(worst, std::abs(residuals[i]) / allowed_residual(modes[i]));
    return worst;
}

/// Refuses bending modes that no bar has together, naming the one without which the others agree.
[[noreturn]] void refuse_modes(const StripData& data, const StripModel& model)
{
    const std::vector<int> at = bending_indices(data);
    const Bar bar = vibrating_bar(data);
    std::vector<ModeReading> all;
    for (const int i : at) all.push_back(data.modes[static_cast<std::size_t>(i)]);
    int culprit = -1;
    double least = 1;
    for (std::size_t i = 0; at.size() > 2 && i < at.size(); ++i) {
        std::vector<ModeReading> others = all;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        const BendingFit fit = model.source == RatioSource::Fitted
                                   ? fit_modulus_and_ratio(bar, data.ends, others, model.theory)
                                   : fit_modulus(bar, data.ends, others, model.ratio.value, model.theory);
        const double excess = worst_excess(others, fit.residuals);
        if (excess < least && !fit.is_at_low_end && !fit.is_at_high_end) {
            least = excess;
            culprit = static_cast<int>(i);
        }
    }
    if (culprit >= 0)
        throw StripError(
            StripPart::Mode,
            fmt::format("bending mode {} ({:.4g} Hz) does not fit the other modes, which agree among themselves; "
                        "wrong number, a torsion mode or a slip of the pen",
                        all[static_cast<std::size_t>(culprit)].number, all[static_cast<std::size_t>(culprit)].f.value),
            at[static_cast<std::size_t>(culprit)]);
    const ModeReading &a = all.front(), &b = all.back();
    const auto expected = [&](double ratio) {
        return bending_frequency(bar, data.ends, b.number,
                                 fit_modulus(bar, data.ends, std::vector{a}, ratio, model.theory).E, ratio,
                                 model.theory);
    };
    const bool is_fixed = model.source != RatioSource::Fitted;
    const double ratio = is_fixed ? model.ratio.value : least_ratio;
    throw StripError(
        StripPart::Mode,
        fmt::format("bending modes {} ({:.4g} Hz) and {} ({:.4g} Hz) do not belong together: with the first, the "
                    "second lies {} {:.4g} Hz{}; one of them is another mode",
                    a.number, a.f.value, b.number, b.f.value, is_fixed ? "near" : "below", expected(ratio),
                    is_fixed ? fmt::format(" (E/G = {:.3g})", ratio)
                             : fmt::format(" whatever E/G, and at {:.4g} Hz for E/G = 16", expected(16))),
        at.back());
}

/// What E/G is taken from when the modes do not tell.
StripModel without_fit(const StripData& data)
{
    StripModel model;
    model.nu = data.given_nu.value_or(Assumed{0.2, 0.3, 0.4});
    const bool has_torsion =
        std::any_of(data.modes.begin(), data.modes.end(), [](const ModeReading& mode) { return mode.is_torsion; });
    if (data.given_ratio) {
        model.source = RatioSource::Given;
        model.ratio = *data.given_ratio;
    } else if (data.usual_ratio) {
        model.source = RatioSource::Usual;
        model.ratio = *data.usual_ratio;
    } else if (has_torsion && data.is_same_all_ways && !bending_indices(data).empty()) {
        model.source = RatioSource::Torsion;
    } else {
        model.source = RatioSource::Isotropic;
        model.ratio = {2 * (1 + model.nu.low), 2 * (1 + model.nu.value), 2 * (1 + model.nu.high)};
    }
    return model;
}

struct Choice
{
    StripModel model;
    StripFigures figures;
    Spread spread;
    bool is_unresolved = false;
};

Choice settle(const StripData& data, const StripModel& model)
{
    Choice choice;
    choice.model = model;
    choice.figures = strip_figures(data, model);
    choice.spread = spread_of(data, model, choice.figures);
    return choice;
}

Choice choose(const StripData& data)
{
    const StripModel plain = without_fit(data);
    if (data.given_ratio || bending_indices(data).size() < 2) return settle(data, plain);
    StripModel fitted = plain;
    fitted.source = RatioSource::Fitted;
    const StripFigures figures = strip_figures(data, fitted);
    const std::vector<ModeReading> modes = bending_modes(data);
    const bool is_at_end = figures.is_at_low_end || figures.is_at_high_end;
    if (worst_excess(modes, figures.residuals) > 1 || (is_at_end && figures.chi2 > noise)) refuse_modes(data, fitted);
    if (!is_at_end) {
        Choice choice = settle(data, fitted);
        if (choice.spread.errors.E_over_G < most_ratio_error * figures.E_over_G) return choice;
    }
    Choice choice = settle(data, plain);
    choice.is_unresolved = true;
    return choice;
}

void check_figures(const StripData& data, const Choice& choice)
{
    const StripFigures& figures = choice.figures;
    if (!(figures.E >= lowest_E && figures.E <= highest_E))
        throw StripError(StripPart::Whole,
                         fmt::format("E comes out at {} GPa, no board lies outside {:.3g} to {:.0f} GPa; "
                                     "check the units of frequency, sizes and mass",
                                     figures.E > highest_E ? fmt::format("{:.0f}", figures.E / 1e9)
                                                           : fmt::format("{:.2g}", figures.E / 1e9),
                                     lowest_E / 1e9, highest_E / 1e9));
    if (worst_excess(bending_modes(data), figures.residuals) > 1) refuse_modes(data, choice.model);
    if (!figures.G_in) return;
    int i = -1;
    for (const ModeReading& mode : data.modes) {
        ++i;
        if (!mode.is_torsion) continue;
        if (*figures.G_in >= 3 * figures.E)
            throw StripError(StripPart::Mode,
                             fmt::format("torsion gives G = {:.3g} GPa, more than three times E = {:.3g} GPa; "
                                         "another mode was taken for torsion",
                                         *figures.G_in / 1e9, figures.E / 1e9),
                             i);
        if (figures.nu && !(*figures.nu >= lowest_nu && *figures.nu <= highest_nu))
            throw StripError(
                StripPart::Mode,
                fmt::format("torsion gives G = {:.3g} GPa and with E = {:.3g} GPa a Poisson's ratio of {:.2f}, "
                            "impossible for a board that is alike in all directions; wrong mode, wrong E/G or a "
                            "grain (direction: along)",
                            *figures.G_in / 1e9, figures.E / 1e9, *figures.nu),
                i);
        const double off = mode.f.value / figures.f_model[static_cast<std::size_t>(i)] - 1;
        if (std::abs(off) > torsion_residual)
            throw StripError(StripPart::Mode,
                             fmt::format("torsion mode {} lies {:+.1f} % off the frequency that the torsion "
                                         "modes have together, one of them is another mode",
                                         mode.number, 100 * off),
                             i);
    }
}

StaticOutcome static_outcome(const StripData& data, const StripFigures& figures)
{
    const StaticReading& test = *data.bending_test;
    StaticOutcome outcome;
    outcome.E_apparent = three_point_modulus(test.span, data.width.value, data.thickness.value,
                                             test.force.value / test.deflection.value);
    outcome.shear_share = three_point_shear_share(data.thickness.value / test.span, figures.E_over_G);
    outcome.E = outcome.E_apparent * (1 + outcome.shear_share);
    if (bending_indices(data).empty()) return outcome;
    const double ratio = figures.E / outcome.E;
    outcome.dynamic_ratio = ratio;
    if (ratio < lowest_static_ratio || ratio > highest_static_ratio)
        throw StripError(
            StripPart::Static,
            fmt::format("E rung ({:.3g} GPa) over E pressed ({:.3g} GPa) is {:.2f}, real boards show 1.05 to 1.26; "
                        "force and deflection must be differences on the straight part, without the supports' own "
                        "give",
                        figures.E / 1e9, outcome.E / 1e9, ratio));
    return outcome;
}

void add_losses(const StripData& data, StripResult& result)
{
    double sum = 0, least = 0, most = 0;
    int n = 0;
    for (std::size_t i = 0; i < data.modes.size(); ++i) {
        const ModeReading& mode = data.modes[i];
        if (mode.losses.empty()) continue;
        double mean = 0;
        for (const LossReading& reading : mode.losses) mean += reading.loss / static_cast<double>(mode.losses.size());
        result.modes[i].loss = mean;
        if (mode.is_torsion) continue;
        least = n == 0 ? mean : std::min(least, mean);
        most = std::max(most, mean);
        sum += mean;
        ++n;
    }
    if (n > 0) result.loss = Assumed{least * (1 - loss_reading_spread), sum / n, most * (1 + loss_reading_spread)};
}

void add_astm(const StripData& data, StripResult& result)
{
    if (data.ends != BarEnds::FreeFree) return;
    const Bar bar = vibrating_bar(data);
    for (const ModeReading& mode : data.modes) {
        if (mode.number != 1) continue;
        if (mode.is_torsion)
            result.G_astm = astm_torsion_modulus(bar, mode.f.value);
        else
            result.E_astm = astm_bending_modulus(bar, mode.f.value, result.nu_used);
    }
}

} // namespace

StripResult evaluate_strip(const StripData& data)
{
    check_strip_data(data);
    const Choice choice = choose(data);
    check_figures(data, choice);
    const StripFigures &figures = choice.figures, &errors = choice.spread.errors;

    StripResult result;
    result.rho = {figures.rho, errors.rho};
    result.E = {figures.E, errors.E};
    result.is_E_static = bending_indices(data).empty();
    result.E_over_G = {figures.E_over_G, errors.E_over_G};
    result.ratio_source = choice.model.source;
    result.is_ratio_unresolved = choice.is_unresolved;
    result.G_t = {figures.G_t, errors.G_t};
    if (figures.G_in) result.G_in = Known{*figures.G_in, errors.G_in.value_or(0)};
    if (figures.nu) result.nu = Known{*figures.nu, errors.nu.value_or(0)};
    result.E_isotropic = {figures.E_isotropic, errors.E_isotropic};
    result.nu_used = figures.nu_used;
    result.E_errors = choice.spread.E_shares;
    for (const double f : figures.f_model) result.modes.push_back({f, {}});
    add_losses(data, result);
    add_astm(data, result);
    if (data.bending_test) result.bending_test = static_outcome(data, figures);
    return result;
}

} // namespace stillwall::solver
