#include "solver/measured/internal/strip_model.h"

#include "solver/measured/internal/bending_fit.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

/// The whole section shears with one modulus: no separate one through the thickness is known.
bool is_one_shear_modulus(const StripModel& model)
{
    return model.source == RatioSource::Torsion || model.source == RatioSource::Isotropic;
}

/// Mean in-plane modulus of the torsion modes; nothing without any.
std::optional<double> torsion_mean(const StripData& data, double E, std::optional<double> G_t)
{
    const Bar bar = vibrating_bar(data);
    double log_sum = 0;
    int n = 0, i = -1;
    for (const ModeReading& mode : data.modes) {
        ++i;
        if (!mode.is_torsion) continue;
        try {
            log_sum += std::log(torsion_modulus(bar, mode.number, mode.f.value, E, G_t));
        } catch (const DomainError& error) {
            throw StripError(StripPart::Mode,
                             std::string(error.what()) + "; another mode was taken for torsion, or E/G is too high", i);
        }
        ++n;
    }
    if (n == 0) return std::nullopt;
    return std::exp(log_sum / n);
}

double torsion_frequency(const Bar& bar, const ModeReading& mode, double E, std::optional<double> G_t, double G_in)
{
    double f = mode.f.value;
    for (int i = 0; i < 30; ++i)
        f *= std::sqrt(G_in / torsion_modulus(bar, mode.number, f, E, G_t)); // G goes nearly with f²
    return f;
}

void set_bending(const StripData& data, const StripModel& model, StripFigures& figures)
{
    const Bar bar = vibrating_bar(data);
    const std::vector<ModeReading> modes = bending_modes(data);
    const auto fit_at = [&](double ratio) { return fit_modulus(bar, data.ends, modes, ratio, model.theory); };
    BendingFit fit;
    switch (model.source) {
    case RatioSource::Fitted:
        fit = fit_modulus_and_ratio(bar, data.ends, modes, model.theory);
        break;
    case RatioSource::Torsion: {
        // E needs E/G, G needs E a little: a few rounds settle both.
        fit = fit_at(2 * (1 + model.nu.value));
        for (int i = 0; i < 20; ++i)
            fit = fit_at(std::clamp(fit.E / *torsion_mean(data, fit.E, std::nullopt), least_ratio, greatest_ratio));
        break;
    }
    default:
        fit = fit_at(model.ratio.value);
    }
    figures.E = fit.E;
    figures.E_over_G = fit.E_over_G;
    figures.residuals = fit.residuals;
    figures.chi2 = fit.chi2;
    figures.is_at_low_end = fit.is_at_low_end;
    figures.is_at_high_end = fit.is_at_high_end;
}

void set_static(const StripData& data, const StripModel& model, StripFigures& figures)
{
    const StaticReading& test = *data.bending_test;
    const double apparent = three_point_modulus(test.span, data.width.value, data.thickness.value,
                                                test.force.value / test.deflection.value);
    figures.E_over_G = model.ratio.value;
    const double share = three_point_shear_share(data.thickness.value / test.span, figures.E_over_G);
    figures.E = apparent * (1 + share) * test.dynamic_per_static.value;
}

} // namespace

std::vector<int> bending_indices(const StripData& data)
{
    std::vector<int> indices;
    for (std::size_t i = 0; i < data.modes.size(); ++i)
        if (!data.modes[i].is_torsion) indices.push_back(static_cast<int>(i));
    // In order of the mode's number, however they were written.
    std::sort(indices.begin(), indices.end(), [&](int a, int b) {
        return data.modes[static_cast<std::size_t>(a)].number < data.modes[static_cast<std::size_t>(b)].number;
    });
    return indices;
}

std::vector<ModeReading> bending_modes(const StripData& data)
{
    std::vector<ModeReading> modes;
    for (const int i : bending_indices(data)) modes.push_back(data.modes[static_cast<std::size_t>(i)]);
    return modes;
}

StripFigures strip_figures(const StripData& data, const StripModel& model)
{
    const Bar bar = vibrating_bar(data);
    StripFigures figures;
    figures.rho = bar.mass / (bar.length * bar.width * bar.thickness);
    const std::vector<ModeReading> modes = bending_modes(data);
    if (modes.empty())
        set_static(data, model, figures);
    else
        set_bending(data, model, figures);
    figures.G_t = figures.E / figures.E_over_G;

    const std::optional<double> G_section = is_one_shear_modulus(model) ? std::nullopt : std::optional(figures.G_t);
    figures.G_in = torsion_mean(data, figures.E, G_section);
    if (figures.G_in && data.is_same_all_ways) figures.nu = figures.E / (2 * *figures.G_in) - 1;

    const bool takes_torsion = figures.nu && !data.given_nu;
    figures.nu_used = takes_torsion ? std::clamp(*figures.nu, 0.0, 0.49) : model.nu.value;
    figures.E_isotropic =
        modes.empty()
            ? figures.E
            : fit_modulus(bar, data.ends, std::vector{modes.front()}, 2 * (1 + figures.nu_used), model.theory).E;
    for (const ModeReading& mode : data.modes)
        figures.f_model.push_back(mode.is_torsion ? torsion_frequency(bar, mode, figures.E, G_section, *figures.G_in)
                                                  : bending_frequency(bar, data.ends, mode.number, figures.E,
                                                                      figures.E_over_G, model.theory));
    return figures;
}

} // namespace stillwall::solver
