#pragma once
// A file appears complete or not at all.

#include "mesh/cabinet/error.h"

#include <filesystem>
#include <functional>
#include <string>

namespace stillwall::viz {

/// Lets `write` make a file under a provisional name in the same folder, then renames it.
/// @param write  gets the provisional name, returns whether it succeeded
/// @throws RenderError  when writing or renaming fails
inline void write_whole_file(const std::filesystem::path& file, const std::function<bool(const std::string&)>& write)
{
    const std::string provisional = file.string() + ".part";
    std::error_code trouble;
    const bool is_written = write(provisional) && std::filesystem::exists(provisional, trouble);
    if (is_written) std::filesystem::rename(provisional, file, trouble);
    if (is_written && !trouble) return;
    std::filesystem::remove(provisional, trouble);
    throw RenderError(file.string() + ": cannot be written");
}

} // namespace stillwall::viz
