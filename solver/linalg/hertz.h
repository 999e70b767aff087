#pragma once
// Eigenvalues λ = ω² [rad²/s²] as frequencies.

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace stillwall::solver::internal {

/// √λ/2π [Hz], 0 for λ < 0: a rigid motion's eigenvalue is round-off of either sign.
[[nodiscard]] inline double hertz(double lambda)
{
    return std::sqrt(std::max(lambda, 0.0)) / (2 * std::numbers::pi);
}

/// √Re λ/2π [Hz] of a lossy mode, λ = ω² (1 + jη).
[[nodiscard]] inline double hertz(std::complex<double> lambda)
{
    return hertz(lambda.real());
}

} // namespace stillwall::solver::internal
