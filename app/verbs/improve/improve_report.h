#pragma once
// What a run of `improve` found, in the forms it is handed out.

#include "app/write/svg_plot.h"
#include "solver/choose/improve.h"

#include <string>
#include <vector>

namespace stillwall::app {

struct ImproveReport
{
    std::string title;
    solver::ImproveAsk ask;
    std::vector<std::string> choices; ///< titles
    solver::Improved found;
    double f_max = 0;
    double seconds = 0;
};

[[nodiscard]] std::string improve_text(const ImproveReport& report);
[[nodiscard]] std::string improve_json(const ImproveReport& report);
[[nodiscard]] PlotFile improve_plot(const ImproveReport& report);
/// A `variants` entry that gives this cabinet, to be pasted into the file.
[[nodiscard]] std::string variant_entry(const std::string& name, const std::vector<solver::Setting>& settings);

} // namespace stillwall::app
