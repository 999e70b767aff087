#pragma once
// Porous filling as an equivalent fluid.

#include "mesh/cabinet/air.h"

#include <complex>

namespace stillwall::solver {

/// Complex density and bulk modulus with e^{+jωt}. Losses: Im ρ ≤ 0 (drag), Im K ≥ 0 (compression with heat flow).
struct Fluid
{
    std::complex<double> density; ///< ρ [kg/m³]
    std::complex<double> bulk;    ///< K = ρ c² [Pa]
};

/// With X = f/σ [m³/kg], Z the characteristic impedance and k the wave number:
///     Z/(ρ₀c₀) = 1 + 0.070 X^−0.632 − j 0.107 X^−0.632,   k/k₀ = 1 + 0.109 X^−0.618 − j 0.160 X^−0.618
///     ρ = Z k/ω,   K = Z ω/k
/// Made for 0.01 < X < 1 and used beyond as it is. X → ∞: air. At X = 0.001 (20 Hz in 20 kPa·s/m²) K = 0.74 ρ₀c₀²
/// (isothermal: 0.71) and Im ρ is 12 % above the steady drag σ/ω, but Re ρ has been below zero since X = 0.006. Below
/// X = 8·10⁻⁴ the formulas would have the fluid give off energy in compression; there Im K is held at 0.
/// @param f      [Hz], > 0
/// @param sigma  flow resistivity [Pa·s/m²], > 0
/// @throws DomainError outside these ranges
/// @source Y. Miki, Acoustical properties of porous materials: modifications of Delany-Bazley models, J. Acoust. Soc.
///         Jpn (E) 11 (1990) 19; coefficients from memory, checked in the tests against printed values
[[nodiscard]] Fluid miki(double f, double sigma, const Air& air);

/// Open air: real ρ₀ and ρ₀c₀².
[[nodiscard]] Fluid open_air(const Air& air);

} // namespace stillwall::solver
