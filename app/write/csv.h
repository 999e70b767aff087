#pragma once
// Fields of comma-separated files.

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

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

/// A whole line of such fields.
[[nodiscard]] inline std::string csv_line(const std::vector<std::string>& fields)
{
    std::string line;
    for (std::size_t i = 0; i < fields.size(); ++i) line += (i > 0 ? "," : "") + csv_field(fields[i]);
    return line + '\n';
}

/// Six digits; empty for what is not finite (the level of silence).
[[nodiscard]] inline std::string csv_number(double value)
{
    return std::isfinite(value) ? fmt::format("{:.6g}", value) : std::string();
}

} // namespace stillwall::app
