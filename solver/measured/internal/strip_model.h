#pragma once
// One evaluation of a strip's data with everything settled but the numbers: what the error bars are differences of.

#include "solver/measured/internal/beam_theory.h"
#include "solver/measured/strip.h"

#include <optional>
#include <vector>

namespace stillwall::solver {

struct StripModel
{
    RatioSource source = RatioSource::Usual;
    Assumed ratio; ///< [-] E/G for Given, Usual and Isotropic
    Assumed nu;    ///< [-] when no torsion mode gives it
    BeamTheory theory;
};

/// Figures, and in the same shape their errors.
struct StripFigures
{
    double rho = 0, E = 0, E_over_G = 0, G_t = 0, E_isotropic = 0;
    std::optional<double> G_in, nu;
    double nu_used = 0;
    std::vector<double> f_model;   ///< [Hz] as StripData::modes
    std::vector<double> residuals; ///< of the bending modes
    double chi2 = 0;
    bool is_at_low_end = false, is_at_high_end = false;
};

[[nodiscard]] StripFigures strip_figures(const StripData& data, const StripModel& model);

[[nodiscard]] std::vector<int> bending_indices(const StripData& data);
[[nodiscard]] std::vector<ModeReading> bending_modes(const StripData& data);

} // namespace stillwall::solver
