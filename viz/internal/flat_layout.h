#pragma once
// Places the boards flat, side by side, at one common scale.

#include "viz/internal/drawing.h"

#include <vector>

namespace stillwall::viz {

/// A board to place: its size and the width of what is written above it.
struct FlatItem
{
    double width = 0, height = 0; ///< [m]
    double caption_px = 0;
};

struct FlatLayout
{
    double scale = 0;              ///< [px/m]; 0 when nothing fits
    std::vector<Rectangle> places; ///< of the boards alone; the caption stands above each
};

struct FlatSpacing
{
    double gap_px = 18;     ///< between neighbours and between rows
    double caption_px = 22; ///< height reserved above each board
};

/// Fills rows from the left, from the top down, in the given order, at the largest scale at which all rows fit.
/// Boards of a row stand on one line; rows are spread over the height of the area.
[[nodiscard]] FlatLayout lay_flat(const std::vector<FlatItem>& items, const Rectangle& area,
                                  const FlatSpacing& spacing);

} // namespace stillwall::viz
