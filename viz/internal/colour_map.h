#pragma once
// The colours of the drawings.

#include <array>
#include <cstdint>

namespace stillwall::viz {

using Rgb = std::array<std::uint8_t, 3>;

/// Colour of a signed relative displacement: blue (−1) over near-white (0) to brown-orange (+1).
///
/// Blue against orange stays apart for all common colour-vision deficiencies, and lightness falls evenly and
/// alike from 0 to both ends, so that size can be read in grey as well. The fixed points are given in
/// CIELAB (D65) and joined by straight lines there: equal steps look equal.
///
/// @param value  clamped to [−1, 1]
[[nodiscard]] Rgb diverging_colour(double value);

/// `colour` darkened by a factor in [0, 1] (a factor on the sRGB numbers).
[[nodiscard]] Rgb shaded(const Rgb& colour, double factor);

namespace palette {
inline constexpr Rgb paper{255, 255, 255};
inline constexpr Rgb ink{34, 38, 44};             ///< text and board edges
inline constexpr Rgb quiet_ink{96, 102, 110};     ///< captions
inline constexpr Rgb rest_line{158, 163, 170};    ///< undeformed outline
inline constexpr Rgb contact_line{112, 117, 124}; ///< where another board stands on this one
inline constexpr Rgb rule{214, 218, 223};
} // namespace palette

} // namespace stillwall::viz
