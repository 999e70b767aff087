#pragma once
// The parts of the printed result of `sound` that are not about single modes.

#include "app/write/sound_report.h"

namespace stillwall::app {

/// Whole decibels with a true minus: "−12".
[[nodiscard]] std::string in_decibels(double level);

/// The verdict's word, in capitals where it asks for action, so that the eye finds it in a long column.
[[nodiscard]] std::string verdict_words(const solver::Verdict& verdict);

/// "30 / 85": odds of audible and of at least borderline; "–" outside the band.
[[nodiscard]] std::string odds_words(const solver::Verdict& verdict);

/// "x 100, y −1000, z 150 mm".
[[nodiscard]] std::string place_words(const Vector3d& at);

/// Cabinet and drive, with what to mind before a sweep.
[[nodiscard]] std::string sound_head(const SoundReport& report);

/// Box and port, impedance, motion, listeners.
[[nodiscard]] std::string sound_facts(const SoundReport& report);

/// Sizes and times.
[[nodiscard]] std::string sound_effort(const SoundReport& report);

/// Hearing, drivers, mains.
[[nodiscard]] std::string sound_cautions();

} // namespace stillwall::app
