#pragma once
// Whether readings could be the walls' frequencies shifted by one more place: a comb that slips.

#include "solver/measured/strip.h" // Known

#include <vector>

namespace stillwall::solver {

/// A wall that may have been read.
struct Tooth
{
    double f_Hz = 0;  ///< computed, > 0
    double slope = 0; ///< ∂ln f/∂ln (all moduli in the boards' planes)
    double seen = 0;  ///< [-] chance that it shows
};

/// One way the readings fall upon the teeth when all boards are stiffer or softer alike.
struct CombFit
{
    double factor = 1; ///< on the moduli, where this way fits best
    double odds = 0;   ///< [-] of this way; over all ways they sum to 1
};

/// Posterior of x = ln factor on a grid from 0.45 to 2.2, cut into ways at its minima:
///     p(x) ∝ exp(−x²/2σ²) Π_i [b + Σ_c seen_c N(ln f_i; ln f_c + slope_c x, ε)]
/// with σ = 0.2 (moduli of any stock of a kind), ε² = 0.015² and the reading's own error (what a good fit leaves), b =
/// 0.5 per unit of ln f for what is no wall (judgements).
/// @param readings  [Hz]
/// @return most likely first; without readings the one of factor 1
[[nodiscard]] std::vector<CombFit> comb_fits(const std::vector<Known>& readings, const std::vector<Tooth>& teeth);

} // namespace stillwall::solver
