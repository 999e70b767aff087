#pragma once
// The units people may write, by dimension.

#include "app/input/internal/measure.h"

#include <span>
#include <string_view>

namespace stillwall::app {

/// A unit by its spelling.
struct Unit
{
    std::string_view spelling;
    double factor;          ///< [SI unit per unit]
    bool is_offered = true; ///< named in messages; other spellings are accepted quietly
    double zero = 0;        ///< the unit's nought [SI unit]
};

/// How a dimension is called, and its units.
struct DimensionInfo
{
    std::string_view noun; ///< "a length"
    std::string_view example;
    std::span<const Unit> units;
};

/// Its units are static; the first one is the usual one.
[[nodiscard]] DimensionInfo dimension_info(Dimension dimension);

} // namespace stillwall::app
