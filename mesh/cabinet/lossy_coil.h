#pragma once
// The inductance of a voice coil in iron.

#include <cmath>
#include <complex>
#include <numbers>

namespace stillwall {

/// Impedance of a lossy coil per henry at 1 kHz [ohm/H]:
///     ω₀ (ω/ω₀)^n (cot(nπ/2) + j),   ω₀ = 2π · 1 kHz,
/// that is K (jω)^n with K such that its imaginary part is ω₀ at ω₀.
/// @param f_Hz  > 0
/// @param n     [-] in (0, 1]; 1: an ideal coil, jω
/// @source W. M. Leach, J. Audio Eng. Soc. 50 (2002) 442
[[nodiscard]] inline std::complex<double> lossy_coil(double f_Hz, double n)
{
    const double w_0 = 2 * std::numbers::pi * 1000, turn = n * std::numbers::pi / 2;
    return w_0 * std::pow(f_Hz / 1000, n) * std::complex<double>(std::cos(turn) / std::sin(turn), 1);
}

} // namespace stillwall
