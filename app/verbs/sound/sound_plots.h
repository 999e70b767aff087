#pragma once
// The curves of a run of `sound` as plots.

#include "app/write/sound_report.h"
#include "app/write/svg_plot.h"

namespace stillwall::app {

/// Walls against direct sound, boards, impedance, motion and all modes on one axis; levels at worst_listener().
[[nodiscard]] std::vector<PlotFile> sound_plots(const SoundReport& report);

} // namespace stillwall::app
