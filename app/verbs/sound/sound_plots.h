#pragma once
// The curves of a run of `sound` as plots.

#include "app/write/sound_report.h"

namespace stillwall::app {

struct PlotFile
{
    std::string name;  ///< "sound-walls.svg"
    std::string about; ///< what it shows, a few words
    std::string svg;
};

/// Walls against direct sound, boards, impedance, motion and all modes on one axis; levels at worst_listener().
[[nodiscard]] std::vector<PlotFile> sound_plots(const SoundReport& report);

} // namespace stillwall::app
