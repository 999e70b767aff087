#pragma once
// What the verdicts of a played cabinet come to: how many are heard, which is worst, where.

#include "solver/drive/sound.h"
#include "solver/verdict/flag.h"

namespace stillwall::solver {

/// Places in `modes` of the judged ones: audible, borderline, inaudible, out of the band; in each from the farthest
/// over its strict line down.
[[nodiscard]] std::vector<std::size_t> modes_by_verdict(const std::vector<SoundMode>& modes);

/// How many judged modes got each word where they are worst, and how many are to be expected by their odds.
struct VerdictCount
{
    int audible = 0, borderline = 0, inaudible = 0, out_of_band = 0;
    double expected_audible = 0, expected_heard = 0; ///< sums of the odds of those in the band
    [[nodiscard]] int heard() const { return audible + borderline; }
    [[nodiscard]] int all() const { return heard() + inaudible; } ///< in the band
};
[[nodiscard]] VerdictCount count_verdicts(const std::vector<SoundMode>& modes);

/// The judged wall mode farthest over its strict line; null without any.
[[nodiscard]] const SoundMode* worst_wall(const std::vector<SoundMode>& modes);

/// What the modes of the walls come to, by the verdicts on those that were played.
/// @param judged  one per mode of the walls, see judge_unplayed()
void judge_played(const SoundResult& result, std::vector<JudgedMode>& judged);

/// Where a mode is worst of the listeners, whatever all directions say; null when it was not judged.
[[nodiscard]] const ModeAtListener* worst_at_listener(const SoundMode& mode);

/// Its power in all directions; null when it was not judged.
[[nodiscard]] const ModeAtListener* all_round(const SoundMode& mode);

/// The listener at whom some mode is worst of all: the one the plots are drawn for. 0 without modes.
[[nodiscard]] std::size_t worst_listener(const SoundResult& result);

/// The wrinkle that is largest against the impedance it sits on; null when the mode leaves none over 0.1 %.
[[nodiscard]] const Wrinkle* largest_wrinkle(const SoundMode& mode);

/// The largest wrinkle that a wall leaves in one way's impedance.
struct WallWrinkle
{
    std::size_t mode = 0; ///< its place in SoundResult::modes
    Wrinkle wrinkle;
};
[[nodiscard]] std::optional<WallWrinkle> largest_wall_wrinkle(const SoundResult& result, const std::string& way);

} // namespace stillwall::solver
