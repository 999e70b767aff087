#pragma once
// Boards as solids: faces at any height through the thickness, volumes. For mesh/core's own use.

#include "mesh/cabinet/build_hull.h"

namespace stillwall {

/// Whether board `a` covers the end grain of board `b` at their common corner.
[[nodiscard]] bool covers(const Cabinet& cabinet, int a, int b);

/// Planes at which the sides of a wall, top or bottom end when sawn.
[[nodiscard]] std::vector<Plane> sawn_ends(const Cabinet& cabinet, int wall);

/// A brace's clear face at height `s` [m] above its mid-plane: inside the walls' inner faces, up to
/// the faces of the braces it ends at, less what its limits cut off. Openings are not taken out.
/// Empty when nothing is left.
[[nodiscard]] Polygon clear_face(const Cabinet& cabinet, const Hull& inner, int brace, double s);

/// The face of any board on which a layer can lie, openings not taken out: inside between the faces of the walls (of a
/// brace: its clear face), on the outside of a wall as far as the board is sawn.
/// @param side  −1 or +1: the face on the −n or the +n side
[[nodiscard]] Polygon bonding_face(const Cabinet& cabinet, const Hull& inner, int board, double side);

/// Volume [m³] of a board between heights s0 < s1 above its mid-plane, openings not taken out.
[[nodiscard]] double slab_volume(const Cabinet& cabinet, const Hull& inner, int board, double s0, double s1);

} // namespace stillwall
