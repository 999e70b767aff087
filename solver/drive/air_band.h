#pragma once
// How far a wave of the air may lie from where it is computed.

#include "solver/verdict/resonance.h"

namespace stillwall::solver {

/// The air's mesh, as far as its error goes.
struct AirFineness
{
    double spacing = 0; ///< [m] between nodes, (volume / nodes)^⅓; ≥ 0
    double c = 343;     ///< [m/s]
};

/// What moves a wave of the air, relative, each as the end of a range (range_deviations out):
///     temperature    15 to 30 °C about 20 °C, c ∝ √T: −0.86 and +1.69 %
///     inner sizes    0.4 %: a millimetre or two of a quarter of a metre (own estimate)
///     mesh           downwards 0.23 % (8 n / λ)⁴, n the spacing: quadratic elements, whose error goes with the fourth
///                    power; 0.23 % is the worst of twelve modes at eight nodes a wave
///     filling        a factor of 1.6 in what it makes of the frequency (own estimate: its resistivity is from memory)
/// Root of the sum of squares.
/// @param f_open_Hz  the same wave's frequency in the empty cabinet, > 0; f_Hz where there is no filling
[[nodiscard]] FrequencyBand air_band(double f_Hz, double f_open_Hz, const AirFineness& fineness);

/// One standard deviation of ln f that such a band stands for.
[[nodiscard]] double deviation_of(const FrequencyBand& band);

} // namespace stillwall::solver
