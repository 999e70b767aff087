#pragma once
// What a crossover does to the voltage of a way.

#include "mesh/cabinet/sound_plan.h"

#include <complex>
#include <vector>

namespace stillwall::solver {

/// An analogue filter at a frequency, e^{+jωt}; with s = jf/f_c its low-pass is 1/B(s), its high-pass s^n/B(s).
/// B of a Butterworth of order n: the factors s² + 2 sin((2k − 1)π/2n) s + 1, k = 1 … n/2, and s + 1 when n is odd;
/// Linkwitz-Riley: the square of a Butterworth of half the order.
/// @source S. Butterworth, Wireless Engineer 7 (1930) 536; S. Linkwitz, J. Audio Eng. Soc. 24 (1976) 2; from memory
/// @param f_Hz  > 0
[[nodiscard]] std::complex<double> filter_gain(const CrossoverFilter& filter, double f_Hz);

/// Points or filters, times the way's gain and delay. Points: dB and phase linear in the logarithm of frequency; beyond
/// the ends the last slope in dB goes on and the phase stays.
/// @param f_Hz  > 0
[[nodiscard]] std::complex<double> crossover_gain(const WrittenWay& way, double f_Hz);

/// A list of points whose slope, going on beyond one end, lifts the level over that end's.
struct CrossoverRise
{
    double end_Hz = 0;  ///< the list's first or last frequency
    double edge_Hz = 0; ///< of the band
    double dB = 0;      ///< > 0 at the band's edge over the level at the end
};

/// Rises of half a decibel and more within [f_low, f_high] Hz: below the first point, above the last.
[[nodiscard]] std::vector<CrossoverRise> crossover_rises(const WrittenWay& way, double f_low, double f_high);

} // namespace stillwall::solver
