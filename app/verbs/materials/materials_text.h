#pragma once
// The materials library for people.

#include "app/input/material_file.h"

#include <string>

namespace stillwall::app {

/// All stocks by family: name, stiffness, density, loss with their ranges, usual thicknesses; then the fixings and
/// fillings.
[[nodiscard]] std::string materials_list_text(const MaterialLibrary& library);

/// Every figure of one stock with its range, source and how it was confirmed.
[[nodiscard]] std::string stock_text(const MaterialLibrary& library, const Stock& stock);

/// The same of a fixing.
[[nodiscard]] std::string fixing_text(const Fixing& fixing);

} // namespace stillwall::app
