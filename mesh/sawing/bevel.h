#pragma once
// Edges that are not sawn square.

#include "mesh/cabinet/cabinet.h"

#include <array>

namespace stillwall {

/// An edge where a board meets another one at a slant.
struct Bevel
{
    std::string at;               ///< name of that board
    double angle = 0;             ///< [rad] from square, in (0, π/2)
    bool is_long_on_plus = false; ///< the board is longer on its +n face (the outer one of a wall)
};

struct BevelledBoard
{
    std::vector<Bevel> edges; ///< empty: all edges are square
    /// [m] sizes along e1 and e2 of the rectangles around the −n and the +n face.
    std::array<Vector2d, 2> faces{Vector2d::Zero(), Vector2d::Zero()};
};

/// How the edges of each board are sawn, boards in their order.
[[nodiscard]] std::vector<BevelledBoard> bevels_of(const Cabinet& cabinet);

} // namespace stillwall
