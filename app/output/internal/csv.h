#pragma once
// Fields of comma-separated files.

#include <fmt/format.h>

#include <cmath>
#include <string>

namespace stillwall::app {

/// A field as RFC 4180 wants it: quoted when it holds a comma, a quote or a line break.
[[nodiscard]] inline std::string csv_field(const std::string& text)
{
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

/// Six digits; empty for what is not finite (the level of silence).
[[nodiscard]] inline std::string csv_number(double value)
{
    return std::isfinite(value) ? fmt::format("{:.6g}", value) : std::string();
}

} // namespace stillwall::app
