#pragma once
// Transfer functions from a universal file: dataset 58, functions at nodal degrees of freedom, as text.
// Layout after the description that the Structural Dynamics Research Laboratory of the University of Cincinnati
// published.

#include "solver/measured/sweep.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

struct ReadTransfer
{
    std::vector<solver::TransferFunction> functions;
    std::string understood; ///< one line: how many, range, what was left out
};

/// Frequency response functions with even spacing and complex values; other datasets and functions are left out.
/// @throws InputError with file and line: none of them, a damaged one, the binary form, uneven spacing
[[nodiscard]] ReadTransfer read_dataset58(const std::filesystem::path& file);
[[nodiscard]] ReadTransfer parse_dataset58(std::string_view text, const std::string& file);

} // namespace stillwall::app
