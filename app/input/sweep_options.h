#pragma once
// Measures and files as command-line options give them: "10 g=FILE".

#include <filesystem>
#include <string>

namespace stillwall::app {

/// An amount and the sweep that was taken with it.
struct SweepWith
{
    double amount = 0; ///< [kg] or [m³]
    std::filesystem::path file;
};

/// @param option  its name, for the message: "--mass"
/// @throws InputError
[[nodiscard]] SweepWith mass_and_file(const std::string& option, const std::string& text);
[[nodiscard]] SweepWith volume_and_file(const std::string& option, const std::string& text);
/// [m²]
[[nodiscard]] double area_of(const std::string& option, const std::string& text);
/// [ohm]
[[nodiscard]] double resistance_of(const std::string& option, const std::string& text);

} // namespace stillwall::app
