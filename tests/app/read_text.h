#pragma once
// Printed text and CSV, read back independently of the writers.

#include <sstream>
#include <string>
#include <vector>

namespace stillwall::test {

inline std::vector<std::string> lines_of(const std::string& text)
{
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

/// The text as it was before it was broken into lines.
inline std::string unbroken(const std::string& text)
{
    std::istringstream stream(text);
    std::string joined;
    for (std::string word; stream >> word;) joined += (joined.empty() ? "" : " ") + word;
    return joined;
}

/// Fields of a CSV line by RFC 4180.
inline std::vector<std::string> csv_fields(const std::string& line)
{
    std::vector<std::string> fields(1);
    bool is_quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] == '"' && is_quoted && i + 1 < line.size() && line[i + 1] == '"')
            fields.back() += line[++i];
        else if (line[i] == '"')
            is_quoted = !is_quoted;
        else if (line[i] == ',' && !is_quoted)
            fields.emplace_back();
        else
            fields.back() += line[i];
    }
    return fields;
}

} // namespace stillwall::test
