#include "viz/internal/colour_map.h"

#include <algorithm>
#include <cmath>

namespace stillwall::viz {
namespace {

using Triple = std::array<double, 3>;

// CIELAB fixed points (L*, a*, b*) at −1, −1/2, 0, 1/2, 1. L* is mirror-symmetric, and falls by equal
// amounts; the hues are a blue and an orange, which all three kinds of dichromats tell apart.
constexpr std::array<Triple, 5> fixed_points{{
    {37.0, 5.0, -44.0},
    {66.0, -6.0, -34.0},
    {95.0, 0.0, 2.0},
    {66.0, 26.0, 52.0},
    {37.0, 31.0, 45.0},
}};

/// CIELAB (D65) to linear sRGB; CIE 15 and IEC 61966-2-1.
Triple lab_to_linear(const Triple& lab)
{
    const auto inverse = [](double t) {
        constexpr double knee = 6.0 / 29.0;
        return t > knee ? t * t * t : 3 * knee * knee * (t - 4.0 / 29.0);
    };
    const double fy = (lab[0] + 16) / 116;
    const double x = 0.95047 * inverse(fy + lab[1] / 500);
    const double y = inverse(fy);
    const double z = 1.08883 * inverse(fy - lab[2] / 200);
    return {3.2404542 * x - 1.5371385 * y - 0.4985314 * z, -0.9692660 * x + 1.8760108 * y + 0.0415560 * z,
            0.0556434 * x - 0.2040259 * y + 1.0572252 * z};
}

std::uint8_t encode(double linear)
{
    const double c = std::clamp(linear, 0.0, 1.0);
    const double srgb = c <= 0.0031308 ? 12.92 * c : 1.055 * std::pow(c, 1 / 2.4) - 0.055;
    return static_cast<std::uint8_t>(std::lround(255 * srgb));
}

constexpr int n_table = 512; ///< steps from −1 to 1; 1/256 is below one grey level of the picture

std::array<Rgb, n_table + 1> make_table()
{
    std::array<Rgb, n_table + 1> table{};
    for (int i = 0; i <= n_table; ++i) {
        const double place = 4.0 * i / n_table;
        const int low = std::min(static_cast<int>(place), 3);
        const double w = place - low;
        Triple lab{};
        for (std::size_t c = 0; c < 3; ++c)
            lab[c] = (1 - w) * fixed_points[static_cast<std::size_t>(low)][c] +
                     w * fixed_points[static_cast<std::size_t>(low) + 1][c];
        const Triple linear = lab_to_linear(lab);
        table[static_cast<std::size_t>(i)] = {encode(linear[0]), encode(linear[1]), encode(linear[2])};
    }
    return table;
}

} // namespace

Rgb diverging_colour(double value)
{
    static const std::array<Rgb, n_table + 1> table = make_table();
    const double place = (std::clamp(value, -1.0, 1.0) + 1) / 2 * n_table;
    return table[static_cast<std::size_t>(std::lround(place))];
}

Rgb shaded(const Rgb& colour, double factor)
{
    Rgb result{};
    for (std::size_t c = 0; c < 3; ++c) result[c] = static_cast<std::uint8_t>(std::lround(colour[c] * factor));
    return result;
}

} // namespace stillwall::viz
