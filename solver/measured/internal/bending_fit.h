#pragma once
// E, and if wanted E/G, from one or several bending modes of a strip by weighted least squares.

#include "solver/measured/internal/beam_theory.h"
#include "solver/measured/strip.h"

#include <span>
#include <vector>

namespace stillwall::solver {

/// E/G looked for by the fit. Below the lower end G would be above 3 E, above the upper end the strip would be all
/// core.
inline constexpr double least_ratio = 1.0 / 3, greatest_ratio = 400;

struct BendingFit
{
    double E = 0;        ///< [Pa]
    double E_over_G = 0; ///< [-]
    double chi2 = 0;     ///< Σ (relative residual / relative error of f)²
    bool is_at_low_end = false, is_at_high_end = false;
    std::vector<double> residuals; ///< measured over computed frequency − 1, as the modes given
};

/// E for a given E/G, of Timoshenko's beam with what `theory` adds.
/// @param modes  bending modes, at least one
[[nodiscard]] BendingFit fit_modulus(const Bar& bar, BarEnds ends, std::span<const ModeReading> modes, double E_over_G,
                                     const BeamTheory& theory);

/// E and E/G.
/// @param modes  at least two
[[nodiscard]] BendingFit fit_modulus_and_ratio(const Bar& bar, BarEnds ends, std::span<const ModeReading> modes,
                                               const BeamTheory& theory);

/// Frequency [Hz] of a bending mode.
[[nodiscard]] double bending_frequency(const Bar& bar, BarEnds ends, int mode, double E, double E_over_G,
                                       const BeamTheory& theory);

} // namespace stillwall::solver
