#pragma once
// What recorded knocks sound of, over frequency: for the eye, beside the modes found in them.

#include "solver/measured/knock.h"

namespace stillwall::solver {

struct KnockSpectrum
{
    std::vector<double> f_Hz;     ///< middles of bands of 1/72 octave, ascending
    std::vector<double> level_dB; ///< of the strongest line of each band, 0 the strongest of all; ≥ −200
};

/// Mean over the knocks that are used, each counted by its share of its own sound in the band:
///     P(f) = mean_k |X_k(f)|² / Σ_band |X_k|²,    lines at most 0.5 Hz apart (zeros added)
/// @param result  of analyse_knocks() on the same recordings
/// @return  nothing in it where no knock is used
[[nodiscard]] KnockSpectrum knock_spectrum(const std::vector<Recording>& recordings, const KnockResult& result);

/// The same of transfer functions, at their own lines.
[[nodiscard]] KnockSpectrum transfer_spectrum(const std::vector<TransferFunction>& functions,
                                              const KnockResult& result);

} // namespace stillwall::solver
