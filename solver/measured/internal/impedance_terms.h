#pragma once
// The terms of an impedance model with their derivatives.

#include "mesh/cabinet/lossy_coil.h"
#include "solver/measured/impedance_model.h"

#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

/// ∂/∂n of lossy_coil.
[[nodiscard]] inline std::complex<double> lossy_coil_slope(double f_Hz, double n)
{
    const double w_0 = 2 * std::numbers::pi * 1000, s = std::sin(n * std::numbers::pi / 2);
    return lossy_coil(f_Hz, n) * std::log(f_Hz / 1000) -
           w_0 * std::pow(f_Hz / 1000, n) * std::numbers::pi / 2 / (s * s);
}

/// Derivatives of a hump by ln f, ln Q, a, b.
[[nodiscard]] inline std::array<std::complex<double>, 4> hump_slopes(const Hump& h, double f)
{
    const std::complex<double> j(0, 1);
    const double up = f / h.f_Hz, down = h.f_Hz / f;
    const std::complex<double> H = 1.0 / (1.0 + j * h.Q * (up - down)), A = h.ohm.real() + j * h.ohm.imag() * down;
    return {A * H * H * j * h.Q * (up + down) + j * h.ohm.imag() * down * H, -A * H * H * j * h.Q * (up - down), H,
            j * down * H};
}

/// Derivatives of a coil's step by ln R, ln L.
[[nodiscard]] inline std::array<std::complex<double>, 2> step_slopes(const CoilStep& step, double f)
{
    const std::complex<double> Z = step.at(f), jwL(0, 2 * std::numbers::pi * f * step.L);
    return {Z * Z / step.R, Z * Z / jwL};
}

} // namespace stillwall::solver::internal
