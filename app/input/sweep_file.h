#pragma once
// A measured impedance as columns of text. What is understood is told in examples/MEASURED.md.

#include "solver/measured/sweep.h"

#include <filesystem>
#include <string>
#include <string_view>

namespace stillwall::app {

struct ReadSweep
{
    solver::Sweep sweep;
    std::string understood; ///< one line: points, range, what each column was taken for
};

/// @throws InputError with file, line and column
[[nodiscard]] ReadSweep read_sweep(const std::filesystem::path& file);
/// The same from bytes; `file` appears in messages.
[[nodiscard]] ReadSweep parse_sweep(std::string_view bytes, const std::string& file);

} // namespace stillwall::app
