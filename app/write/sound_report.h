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

/// Whether it was held against detection levels: it has levels at listeners.
[[nodiscard]] bool is_judged(const solver::SoundMode& mode);

/// A judged mode where it is worst.
[[nodiscard]] const solver::ModeAtListener& worst_heard(const solver::SoundMode& mode);

/// Places in `modes` of the judged ones: audible, then borderline, then inaudible; in each from the farthest over its
/// strict line down.
[[nodiscard]] std::vector<std::size_t> modes_by_verdict(const std::vector<solver::SoundMode>& modes);

/// How many judged modes got each word where they are worst, and what 8 dB more or less would change.
struct VerdictCount
{
    int audible = 0, borderline = 0, inaudible = 0;
    int could_join = 0; ///< inaudible, but not with 8 dB more
    int could_drop = 0; ///< not inaudible, but with 8 dB less
    [[nodiscard]] int heard() const { return audible + borderline; }
    [[nodiscard]] int all() const { return heard() + inaudible; }
};
[[nodiscard]] VerdictCount count_verdicts(const std::vector<solver::SoundMode>& modes);

/// The listener at whom the worst mode of all is worst: the one the plots are drawn for. 0 without modes.
[[nodiscard]] std::size_t worst_listener(const solver::SoundResult& result);

/// A point of a curve.
struct CurvePoint
{
    double f_Hz = 0;
    double value = 0;
};

/// Largest and least magnitude; the first of equals.
[[nodiscard]] CurvePoint highest(const std::vector<double>& frequency, const Eigen::VectorXd& curve);
[[nodiscard]] CurvePoint lowest(const std::vector<double>& frequency, const Eigen::VectorXd& curve);

/// Inner maxima that rise at least 10 % out of the dips beside them (a dip: the least value on the way to a higher
/// one), ascending in frequency, at most the four highest. A side on which nothing is higher up to the curve's end does
/// not count: the band may cut a peak; where neither counts the lower of both does.
[[nodiscard]] std::vector<CurvePoint> peaks(const std::vector<double>& frequency, const Eigen::VectorXd& curve);

/// The wrinkle that is largest against the impedance it sits on; nothing when the mode leaves none over 0.1 %.
[[nodiscard]] const solver::Wrinkle* largest_wrinkle(const solver::SoundMode& mode);

/// 20 lg(|p| / reference) [dB]; minus infinity for silence.
[[nodiscard]] double level_against(double magnitude, double reference);

/// Pressure [Pa] for which levels are 0 dB.
inline constexpr double reference_pressure = 20e-6;
/// Power [W] for which levels are 0 dB.
inline constexpr double reference_power = 1e-12;

/// The word for what a mode is: "wall", "air", "port".
[[nodiscard]] std::string mode_word(solver::SoundMode::Kind kind);

/// Whether its motion is told as the speed of air: ports and holes.
[[nodiscard]] bool moves_air(const solver::Source& source);

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
