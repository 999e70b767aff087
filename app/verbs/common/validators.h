#pragma once
// Checks of option values whose messages say what is wanted and what came.

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <cstdlib>
#include <map>
#include <string>

namespace stillwall::app {

/// A bare number within limits; refuses "nan" and "inf", which a plain range check lets through.
/// @param what  for the message: "frequency"
[[nodiscard]] inline CLI::Validator number_within(double lowest, double highest, const std::string& what,
                                                  const std::string& unit)
{
    return CLI::Validator(
        [=](const std::string& text) -> std::string {
            char* end = nullptr;
            const double value = std::strtod(text.c_str(), &end);
            if (end != text.c_str() && *end == '\0' && value >= lowest && value <= highest) return {};
            return fmt::format("must be a {} from {} to {} {}, got {}", what, lowest, highest, unit, text);
        },
        "", what);
}

/// One of a few words, turned into its value.
template <class Value> // callers differ in the enumeration
[[nodiscard]] CLI::Validator one_of(const std::map<std::string, Value>& words)
{
    return CLI::Validator(
        [words](std::string& text) -> std::string {
            const auto found = words.find(text);
            if (found != words.end()) {
                text = std::to_string(static_cast<int>(found->second));
                return {};
            }
            std::string wanted;
            for (const auto& [word, value] : words) {
                if (!wanted.empty()) wanted += ", ";
                wanted += word;
            }
            return fmt::format("must be one of {}, got {}", wanted, text);
        },
        "", "word");
}

} // namespace stillwall::app
