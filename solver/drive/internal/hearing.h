#pragma once
// How loud each resonance is at the listeners, and what drives it.

#include "solver/drive/internal/curves.h"
#include "solver/drive/internal/resonance.h"

#include <array>
#include <span>

namespace stillwall::solver::internal {

/// What resonances are held against.
struct HearingSetting
{
    std::vector<Place> places; ///< the listeners, then all directions
    /// Direct sound per volt, power mean over a third of an octave [Pa/V], of all directions [√W/V].
    std::function<double(std::size_t place, double f_Hz)> reference;
    /// Whether the direct sound there is near enough to its best to be held against.
    std::function<bool(double f_Hz)> is_in_band;
    std::vector<std::string> way_names;
    std::vector<std::string> board_names;
};

/// What a resonance alone moves outside: amplitudes of the wall shapes and of the sources.
struct OwnMotion
{
    Eigen::VectorXcd walls, sources;
};

/// Its sound at a place against the direct sound [-]: mean square pressure, or power.
/// @param Z  the player's load() at the frequency
[[nodiscard]] double square_against_direct(const HearingSetting& setting, const Played& played,
                                           const Eigen::MatrixXcd& Z, const OwnMotion& own, std::size_t place);

/// What pushes a wall that stands still along a shape [N per amplitude].
struct Push
{
    std::complex<double> force;    ///< the cones' reaction
    std::complex<double> pressure; ///< of the air inside and out
    std::string driver;            ///< that pushes most by force; empty: none
    [[nodiscard]] std::complex<double> all() const { return force + pressure; }
};
[[nodiscard]] Push drive_on(const Player& player, const Played& played, const Eigen::VectorXcd& y);

/// The frequencies at which a resonance must be played: f − 0.35 f/Q, f, f + 0.35 f/Q, kept inside the range.
[[nodiscard]] std::array<double, 3> frequencies_near(const SoundMode& mode, double f_from, double f_to);

/// What is left over the strict detection level at the worst place, at its own frequency: a first look.
[[nodiscard]] double over_strict_dB(const Player& player, const HearingSetting& setting, const Played& played,
                                    const LoadedMode& resonance);

/// One case of what is not known of frequencies and losses.
struct LevelCase
{
    double weight = 0;
    double Q = 0;
    std::vector<double> change_dB; ///< of the level at every place against the typical one
};

/// Fills levels, verdicts, drive, wrinkles, reason.
/// @param near  the cabinet played at frequencies_near, or at the middle one alone
/// @param cases  see level_cases.h; none: the typical level with its spread
void hear(const Player& player, const HearingSetting& setting, std::span<const Played> near,
          std::span<const LevelCase> cases, LoadedMode& resonance);

} // namespace stillwall::solver::internal
