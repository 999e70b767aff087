#pragma once
// Curves of a run of `sound` made ready for plotting.

#include "app/write/sound_report.h"
#include "app/write/svg_plot.h"

namespace stillwall::app {

/// Levels [dB] of |p| against a reference; silence is not finite.
[[nodiscard]] std::vector<double> levels_against(const Eigen::VectorXcd& pressure, const Eigen::VectorXd& reference);

/// Largest finite value; `otherwise` without any.
[[nodiscard]] double largest_of(const PlotLine& line, double otherwise);
[[nodiscard]] double largest_of(const std::vector<PlotLine>& lines, double otherwise);

/// From the band's lower to its upper end, logarithmic.
[[nodiscard]] PlotAxis frequency_axis(const std::vector<double>& frequency);

/// Decibels in tens: from `depth` under `highest` to a little over it, 0 dB always inside.
[[nodiscard]] PlotAxis level_axis(double highest, double depth);

/// From 0 to a little over `highest`.
[[nodiscard]] PlotAxis upward_axis(std::string title, double highest);

/// Logarithmic with 1-2-5 ends: at most four decades down from the largest value.
[[nodiscard]] PlotAxis decades_axis(std::string title, const std::vector<PlotLine>& lines);

[[nodiscard]] PlotMark::Symbol symbol_of(solver::Audibility word);

/// "3: 412 Hz audible", "4: 640 Hz" for a borderline mode, nothing for others: of those there are too many.
[[nodiscard]] std::string mode_label(const solver::SoundResult& result, std::size_t mode, solver::Audibility word);

/// What the symbols mean.
[[nodiscard]] std::vector<PlotKey> symbol_keys();

/// The listener, where, and the voltage.
[[nodiscard]] std::string listener_subtitle(const SoundReport& report, std::size_t listener);

} // namespace stillwall::app
