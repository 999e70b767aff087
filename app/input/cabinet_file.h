#pragma once
// A cabinet description file → CabinetPlan. The format is told in examples/FORMAT.md.

#include "mesh/cabinet/plan.h"

#include <filesystem>
#include <string>
#include <string_view>

namespace stillwall::app {

struct MaterialLibrary;

/// Reads a cabinet file; materials are taken from the library or from the file's own `materials`.
/// Checks spelling, types, units, plain ranges and the names that parts call each other by; whether the
/// parts make a cabinet is build_cabinet()'s business.
/// @throws InputError with file, line, column and key
[[nodiscard]] CabinetPlan read_cabinet(const std::filesystem::path& file, const MaterialLibrary& library);

/// The file's text, unread.
/// @throws InputError
[[nodiscard]] std::string whole_text(const std::filesystem::path& file);

/// The same from text already in memory; `file` appears in messages.
[[nodiscard]] CabinetPlan parse_cabinet(std::string_view text, const std::string& file, const MaterialLibrary& library);

} // namespace stillwall::app
