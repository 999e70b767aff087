#pragma once
// What recorded knocks told: for people and as JSON.

#include "solver/measured/knock_spectrum.h"

#include <string>
#include <vector>

namespace stillwall::app {

struct KnockReport
{
    std::vector<std::string> understood; ///< per file, what it was read as
    const solver::KnockResult& result;
    solver::KnockSpectrum spectrum{};
};

/// Modes, knocks used and not, notes. At most 120 columns.
[[nodiscard]] std::string knock_text(const KnockReport& report);
/// All figures with their units in the keys.
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string knock_json(const KnockReport& report);

} // namespace stillwall::app
