#pragma once
// Geometry of a hole. Every shape is a core (point, segment or rectangle) grown by a radius, which
// makes distances exact.

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/polygon.h"

namespace stillwall {

/// A hole's core: all points within `radius` of the convex polygon `corners` (1, 2 or 4 of them).
struct OpeningCore
{
    Polygon corners;
    double radius = 0; ///< [m]
};

[[nodiscard]] OpeningCore opening_core(const Opening& opening);

/// Length of the core's edge [m], both flanks of a segment; 0 for a point.
[[nodiscard]] double perimeter(const OpeningCore& core);

/// Area of the core grown by its radius [m²], by Steiner's formula for a convex set: A + r·perimeter + π r².
[[nodiscard]] double grown_area(const OpeningCore& core);

/// Whether no insert closes it.
[[nodiscard]] bool is_open(const Opening& opening);

/// Whether a driver or passive radiator sits in it.
[[nodiscard]] bool holds_cone(const Opening& opening);

/// What sits in a hole: "driver", "port", "plate", "passive radiator", or empty.
[[nodiscard]] std::string insert_word(InsertPlan::Kind kind);

/// A driver's flange as a round hole of its size; nothing where its diameter is not known.
[[nodiscard]] std::optional<Opening> flange_of(const Opening& opening);

/// Outer edge of the rebate that takes a driver's flange, as a polygon of the flange's area; empty without a rebate.
[[nodiscard]] Polygon rebate_region(const Opening& opening);

/// Wood the rebate takes out of its board [m³]: flange less hole, times its depth.
[[nodiscard]] double rebate_volume(const Opening& opening);

/// Middles of a driver's screws in the board's plane [m].
[[nodiscard]] Polygon screw_places(const Opening& opening);

/// Whether side i of a brace's outline was made by a notch.
[[nodiscard]] bool is_notch_side(const Board& board, std::size_t side);

/// What sits in a hole, by its own name, else by the hole's.
[[nodiscard]] const std::string& insert_name(const WrittenOpening& opening);

/// Area of the hole [m²].
[[nodiscard]] double opening_area(const Opening& opening);

/// Corners of the edge of a core grown by its radius, anticlockwise; arcs become chords.
/// @param per_corner  chords of the arc at each corner; 0: a sharp corner (not with a point)
[[nodiscard]] Polygon grown_outline(const OpeningCore& core, int per_corner);

/// Corners of the hole's edge, anticlockwise; arcs become chords.
/// @param n_arc  chords per full circle, ≥ 4
[[nodiscard]] Polygon opening_outline(const Opening& opening, int n_arc);

/// Land between two holes [m]; ≤ 0 when they touch or overlap.
[[nodiscard]] double land_between(const Opening& a, const Opening& b);

/// Least distance from the hole's edge to the polygon's boundary [m]; ≤ 0 when the hole cuts it or lies outside.
[[nodiscard]] double land_inside(const Polygon& outline, const Opening& opening);

/// Distance from a segment to the hole's edge [m]; ≤ 0 when the segment enters the hole.
[[nodiscard]] double land_to_segment(const Opening& opening, const Vector2d& from, const Vector2d& to);

/// Whether the point of a brace's plane lies in a window that stands open.
[[nodiscard]] bool is_in_window(const Board& board, const Vector2d& p);

} // namespace stillwall
