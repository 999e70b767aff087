#pragma once
// Compares a picture with a stored one.

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace stillwall::viz::test {

struct Png
{
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgb; ///< row 0 at the bottom

    [[nodiscard]] std::array<int, 3> at(int x, int y) const;
};

/// An empty picture when the file cannot be read.
[[nodiscard]] Png read_png(const std::filesystem::path& file);

struct ImageDifference
{
    double mean = 0;        ///< grey levels (0 to 255), mean over all channels
    double worst_block = 0; ///< largest mean over blocks of 16 × 16 pixels
};

/// Sizes must agree.
[[nodiscard]] ImageDifference difference(const Png& a, const Png& b);

/// Empty when the picture matches; else what is wrong, with both paths. `actual` is left in place.
[[nodiscard]] std::string compare_with_baseline(const std::filesystem::path& actual,
                                                const std::filesystem::path& baseline);

} // namespace stillwall::viz::test
