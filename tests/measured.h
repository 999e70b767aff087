#pragma once
// Sizes of statistical tests, and the figures that tests hand to the measured table.

#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

/// Whether the full seeded sets are asked for (tests/run.sh --long sets STILLWALL_LONG=1) or the small ones of every
/// push.
[[nodiscard]] inline bool is_long_run()
{
    const char* asked = std::getenv("STILLWALL_LONG"); // NOLINT(concurrency-mt-unsafe): nobody sets it
    return asked != nullptr && std::string_view(asked) == "1";
}

/// Prints a row of the measured table: tests/tools/measure.py collects the lines that begin like this.
inline void print_measured(const std::string& what, const std::string& figure)
{
    std::printf("measured: %s | %s\n", what.c_str(), figure.c_str());
}
