#pragma once
// Moving one node for the good of the elements around it.

namespace stillwall::mesh {

/// Moves x to that of the places where the worst element around it is best, if it gains there; true when it moved.
/// @param worst  shape of the worst element around x as x stands, and what it is before
template <class Point, class Worst, class Places>
bool move_to_best(Point& x, double before, Worst worst, const Places& places)
{
    constexpr double least_gain = 1e-3; // smaller ones are not worth another round
    const Point start = x;
    Point chosen = x;
    double best = before;
    for (const Point& place : places) {
        x = place;
        const double now = worst();
        if (!(now > best + least_gain)) continue;
        best = now;
        chosen = place;
    }
    x = chosen;
    return chosen != start;
}

} // namespace stillwall::mesh
