#pragma once
// What a run of `sound` found, in the forms it is handed out: text, JSON, two CSVs (plots: sound_plots.h).

#include "solver/drive/sound.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// Everything the printers need; refers to the caller's data, owns only small values.
struct SoundReport
{
    const Cabinet& cabinet;
    const Bookkeeping& books;
    const SoundSetting& setting;
    const solver::SoundResult& result;
    Vector3d outer_size = Vector3d::Zero(); ///< [m] width, depth, height
    std::string accuracy;                   ///< "draft", "normal" or "fine"
    double shell_size = 0, air_size = 0;    ///< [m] of an element
    std::vector<double> panel_sizes;        ///< [m] outside, from coarse to fine
    double seconds_read = 0, seconds_mesh = 0;
};

/// Pressure [Pa] for which levels are 0 dB.
inline constexpr double reference_pressure = 20e-6;
/// Power [W] for which levels are 0 dB.
inline constexpr double reference_power = 1e-12;

/// Whether its motion is told as the speed of air: ports and holes.
[[nodiscard]] bool moves_air(const solver::Source& source);

/// Where a resonance was judged: the listener's name, or "all directions".
[[nodiscard]] std::string place_name(const SoundReport& report, const solver::ModeAtListener& heard);

/// The answer, the modes that matter (all of them with `all`), reasons, facts, sizes, cautions. At most 120 columns.
[[nodiscard]] std::string sound_text(const SoundReport& report, bool all);

/// All figures with their units in the keys.
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string sound_json(const SoundReport& report);

/// One line per frequency, a header row with units, decimal points; silence is an empty field.
[[nodiscard]] std::string sound_curves_csv(const SoundReport& report);

/// One line per mode and listener; modes that are not judged have one line with empty fields.
[[nodiscard]] std::string sound_modes_csv(const SoundReport& report);

} // namespace stillwall::app
