#pragma once
// What was weighed and measured at the bench besides what the program computes: `record` of a cabinet file.

#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

/// One line of `record`, in the unit it was written in.
struct BenchNote
{
    std::string what;
    std::optional<double> stated, measured; ///< at least one of them
    std::string unit;                       ///< as written, may be empty
    std::optional<double> tolerance;        ///< to both sides of `stated`, in the unit, ≥ 0; needs `stated`
    std::string note;

    [[nodiscard]] std::optional<double> difference() const ///< measured − stated
    {
        if (!stated || !measured) return std::nullopt;
        return *measured - *stated;
    }
    /// Whether the difference keeps the tolerance, its end included; nothing where that cannot be told.
    [[nodiscard]] std::optional<bool> is_within() const;
};

using BenchRecord = std::vector<BenchNote>;

} // namespace stillwall::app
