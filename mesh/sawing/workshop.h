#pragma once
// What the workshop has: boards it can buy and how it saws. As written, SI units.

#include "mesh/cabinet/error.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall {

/// A board as it is sold.
struct SheetStock
{
    std::string material;         ///< lay-up label, as parts have it: "mdf 18 mm"
    double thickness = 0;         ///< [m]
    double length = 0, width = 0; ///< [m]; the grain of the face runs along the length
    std::optional<double> price;  ///< of one board, in whatever money the user counts, > 0
    SourcePos where;
};

struct WorkshopPlan
{
    double kerf = 3.2e-3;    ///< [m] taken by the saw blade (common practice, no source)
    double trim = 10e-3;     ///< [m] cut off each edge of a board before use (common practice, no source)
    bool keeps_grain = true; ///< parts are not turned across the board's grain where the material has one
    std::vector<SheetStock> sheets;
};

} // namespace stillwall
