#pragma once
// A field over two axes of few values as coloured cells with their figures.

#include <string>
#include <vector>

namespace stillwall::app {

struct HeatMap
{
    std::string title, subtitle, x_title, y_title, unit;
    std::vector<std::string> x, y;              ///< labels; y from the bottom up
    std::vector<std::vector<double>> value;     ///< [y][x]; not finite: an empty cell
    std::vector<std::vector<std::string>> text; ///< [y][x] printed in the cell
    bool high_is_good = false;
};

/// The whole file, 1200 pixels wide. Good cells are light, bad ones dark; the best has a frame.
[[nodiscard]] std::string svg_heat_map(const HeatMap& map);

} // namespace stillwall::app
