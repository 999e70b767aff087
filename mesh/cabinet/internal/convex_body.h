#pragma once
// Convex bodies given by two rings of corners, and whether they share room. For mesh/cabinet's own use.

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/polygon.h"

namespace stillwall {

/// The hull of two rings of equally many corners, one behind the other: tubes, cones, bars.
struct ConvexBody
{
    std::vector<Vector3d> front, rear; ///< [m]

    /// Its point farthest in a direction.
    [[nodiscard]] Vector3d farthest(const Vector3d& direction) const;
};

/// The same body elsewhere.
[[nodiscard]] ConvexBody moved(const ConvexBody& body, const Vector3d& by);

/// A bar of round or square-cornered section between two points.
/// @param corners  of its section about its middle [m], in the axes `across` and axis × across
[[nodiscard]] ConvexBody bar_body(const Vector3d& from, const Vector3d& to, const Vector3d& across,
                                  const Polygon& corners);

/// A regular polygon of n corners about the origin that holds the circle of this radius.
[[nodiscard]] Polygon round_section(double radius, int n);

/// Whether two bodies share room; those nearer than a tenth of a millimetre do.
/// @source the nearest point of their difference to the origin, by supports: Gilbert, Johnson & Keerthi, IEEE J.
/// Robotics Autom. 4 (1988) 193, from memory
[[nodiscard]] bool share_room(const ConvexBody& a, const ConvexBody& b);

/// Outline, seen along the frame's normal, of what of the body lies between two heights above the frame [m]; empty
/// where nothing does. Convex, anticlockwise.
[[nodiscard]] Polygon footprint(const ConvexBody& body, const Frame& frame, double low, double high);

} // namespace stillwall
