#pragma once
// What the verbs that weigh schemes against each other print: compare, vary, improve.

#include "mesh/sawing/sheet_layout.h"
#include "solver/choose/figures.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// A scheme, computed.
struct ComputedScheme
{
    solver::SchemeFigures figures;
    std::vector<double> frequency; ///< [Hz] of the curves, empty without
    std::vector<double> walls_dB,
        impedance;               ///< all walls against the direct sound at the worst listener; [ohm] first way
    std::optional<double> price; ///< of the boards by area, when all have one
    int n_cuts = 0;              ///< straight saw cuts that free the parts, and cut-outs
    double seconds = 0;
    std::vector<std::string> warnings;
    bool has_pictures = false;
    std::optional<solver::Worth> worth; ///< stays in the process that computed it
};

/// One column of a comparison.
struct NamedScheme
{
    std::string name;
    ComputedScheme computed;
};

struct CompareReport
{
    std::string title;
    std::vector<NamedScheme> schemes;          ///< the first is what the others are held against
    std::vector<std::vector<solver::Met>> met; ///< [scheme][mode of the first]
    double f_max = 0;
    std::string accuracy;
};

/// Fills `met`.
void meet(CompareReport& report);

[[nodiscard]] std::string compare_text(const CompareReport& report);
[[nodiscard]] std::string compare_json(const CompareReport& report);
[[nodiscard]] std::string compare_csv(const CompareReport& report);

struct SchemePlot
{
    std::string name, about, svg;
};
[[nodiscard]] std::vector<SchemePlot> compare_plots(const CompareReport& report);

/// "left 1×1 at 412 Hz"; "–" for none.
[[nodiscard]] std::string mode_at(const solver::SchemeFigures& figures, int mode);

} // namespace stillwall::app
