#pragma once
// Error bars: every input is moved by its error, up and down, and the whole evaluation repeated.

#include "solver/measured/internal/strip_model.h"

namespace stillwall::solver {

struct Spread
{
    StripFigures errors;              ///< root of the sum of squares over the inputs; f_model and residuals stay empty
    std::vector<ErrorShare> E_shares; ///< largest first
};

/// @param figures  strip_figures(data, model)
[[nodiscard]] Spread spread_of(const StripData& data, const StripModel& model, const StripFigures& figures);

} // namespace stillwall::solver
