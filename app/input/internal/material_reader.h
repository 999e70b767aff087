#pragma once
// One file of the materials library → stocks.

#include "app/input/material_file.h"

namespace stillwall::app {

struct PlacedStock
{
    Stock stock;
    SourcePos where; ///< of its name
};

/// @throws InputError
[[nodiscard]] std::vector<PlacedStock> read_stock_file(const std::filesystem::path& file);

} // namespace stillwall::app
