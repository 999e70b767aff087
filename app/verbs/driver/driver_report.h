#pragma once
// A driver's figures from its impedance: for people, as JSON, and as keys for a cabinet file.

#include "solver/measured/driver_figures.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

struct DriverReport
{
    std::vector<std::string> understood; ///< per file
    solver::DriverFigures figures;
    std::optional<solver::MovingFigures> by_mass;
    std::optional<solver::BoxFigures> by_box;
    std::optional<solver::DriverFigures> other; ///< second unit
    std::optional<solver::PairMatch> pair;
    std::optional<double> Sd; ///< [m²]
};

[[nodiscard]] std::string driver_text(const DriverReport& report);
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string driver_json(const DriverReport& report);
/// The keys of `driver:` in a cabinet file, as far as they are known.
[[nodiscard]] std::string driver_yaml(const DriverReport& report);

} // namespace stillwall::app
