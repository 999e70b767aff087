#pragma once
// How loud each resonance is at the listeners, and what drives it.

#include "solver/drive/internal/resonance.h"

#include <array>
#include <span>

namespace stillwall::solver::internal {

/// What resonances are held against.
struct HearingSetting
{
    Eigen::Index n_listeners = 0;
    /// |direct| per volt at a listener, power mean over a third of an octave [Pa].
    std::function<double(Eigen::Index listener, double f_Hz)> reference;
    std::vector<std::string> way_names;
    std::vector<std::string> board_names;
};

/// The frequencies at which a resonance must be played: f − 0.35 f/Q, f, f + 0.35 f/Q, kept inside the range.
[[nodiscard]] std::array<double, 3> frequencies_near(const SoundMode& mode, double f_from, double f_to);

/// What is left over the strict detection level at the worst listener, at its own frequency: a first look.
[[nodiscard]] double over_strict_dB(const Player& player, const HearingSetting& setting, const Played& played,
                                    const LoadedMode& resonance);

/// Fills levels, verdicts, drive, wrinkles, reason.
/// @param near  the cabinet played at frequencies_near, or at the middle one alone
void hear(const Player& player, const HearingSetting& setting, std::span<const Played> near, LoadedMode& resonance);

} // namespace stillwall::solver::internal
