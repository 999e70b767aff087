#pragma once
// What is to be drawn on each board: its outline, the lines on which other boards meet it, the limits of the
// overlap strips, rims, ribs, and short spokes that keep all of these from ending in mid-air.

#include "mesh/gmsh/internal/curve.h"

#include <vector>

namespace stillwall::mesh {

/// Lengths below which things are taken as one [m]; all on the drawing.
struct Sizes
{
    /// @param thinnest    thickness of the thinnest board [m]: what is short beside it makes no difference
    /// @param coarseness  factor on the distances below which things become one, 1 as a rule
    Sizes(double element_size, double thinnest, double coarseness);
    double element;   ///< wanted side of an element
    double merge;     ///< points closer than this become one
    double apart;     ///< a strip limit closer than this to a parallel line is moved onto it
    double gap;       ///< a strip limit keeps this distance from a rim it does not cross squarely
    double scale = 1; ///< drawn lengths over true ones, for what is told to the user
    /// Leave out limits that cross another line at a sharp angle: no good element fits there, and the elements then
    /// belong to the strip or not by their middles.
    bool drops_sharp_limits = false;
    std::vector<double> factor{}; ///< [drawn board] on `element`, as far as counts of sides go; empty: 1 everywhere
    [[nodiscard]] double element_on(int board) const
    {
        return element * (factor.empty() ? 1 : factor.at(static_cast<std::size_t>(board)));
    }
};

/// A stretch of a junction's line, as fractions of it.
struct Span
{
    double from = 0, to = 1;
};

/// Where a junction's boards really touch: an opening of either board takes a stretch out.
struct JunctionSpans
{
    std::vector<Span> active;
    std::vector<Span> open[2]; ///< taken out by openings of [0] the passing, [1] the ending board
};

struct Layout
{
    std::vector<JunctionSpans> junctions;
    std::vector<std::vector<Curve>> curves; ///< [board]
};

[[nodiscard]] Layout lay_out(const Cabinet& cabinet, const Sizes& sizes);

/// The part of a junction's line inside `span`, in the board's frame.
struct BoardLine
{
    Vector2d from, along, across; ///< across = along turned left
    double length = 0;
    [[nodiscard]] Vector2d at(double fraction) const { return from + fraction * length * along; }
};
[[nodiscard]] BoardLine line_on(const Board& board, const Junction& junction);

/// Half-width [m] of the junction's strip on a board: the row of elements that carries the joint's law.
[[nodiscard]] inline double strip_on(const Junction& junction, int board)
{
    return junction.passing == board ? junction.strip_passing : junction.strip_ending;
}

/// Half-width [m] of the solid block on a board: from the line to the other board's face.
[[nodiscard]] inline double overlap_on(const Junction& junction, int board)
{
    return junction.passing == board ? junction.overlap_passing : junction.overlap_ending;
}

/// True where the board's own wood stops at the line and, in front of an opening of the other board, short of it.
[[nodiscard]] inline bool ends_at(const Junction& junction, int board)
{
    return junction.ending == board && junction.kind != Junction::Kind::Cross;
}

} // namespace stillwall::mesh
