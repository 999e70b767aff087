#pragma once
// Figures on their way into JSON.

#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

namespace stillwall::app {

/// JSON knows no NaN or infinity; a figure that is not finite is a failed computation, not an output.
/// @throws SolverError
[[nodiscard]] inline double finite(double value, std::string_view what)
{
    if (!std::isfinite(value)) throw SolverError(fmt::format("{} is not a finite number", what));
    return value;
}

} // namespace stillwall::app
