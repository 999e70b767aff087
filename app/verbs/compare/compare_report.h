#pragma once
// What a run of `compare` found, in the forms it is handed out.

#include "app/write/svg_plot.h"
#include "solver/choose/scheme.h"
#include "solver/choose/side_by_side.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// One column of a comparison.
struct NamedScheme
{
    std::string name;
    solver::ComputedScheme computed;
    bool has_pictures = false;
    std::string geometry; ///< its shapes for a page; empty: none wanted
};

struct CompareReport
{
    std::string title;
    std::vector<NamedScheme> schemes;          ///< the first is what the others are held against
    std::vector<std::vector<solver::Met>> met; ///< [scheme][mode of the first]
    double f_max = 0;
    std::string accuracy;
    std::vector<std::string> without_figures; ///< schemes whose drivers cannot be played for lack of figures
};

[[nodiscard]] std::string compare_text(const CompareReport& report);
[[nodiscard]] std::string compare_json(const CompareReport& report);
[[nodiscard]] std::string compare_csv(const CompareReport& report);

[[nodiscard]] std::vector<PlotFile> compare_plots(const CompareReport& report);

} // namespace stillwall::app
