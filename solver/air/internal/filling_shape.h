#pragma once
// Where a filling lies: level functions, positive inside, and shares of small tetrahedra.

#include "mesh/cabinet/cabinet.h"

#include <array>
#include <functional>
#include <vector>

namespace stillwall::solver::internal {

/// Signed distance [m] to one limit of a filling, positive on the filling's side.
using Level = std::function<double(const Vector3d&)>;

/// A part of a filling: the points where all levels are positive.
using FillingPart = std::vector<Level>;

/// Disjoint parts of a filling. A region: the box between its corners. A lining on a wall: the points less than its
/// thickness from the plane of the inner face whose foot lies in the wall's outline and in none of its openings; on a
/// brace the same on both faces. Layers on the board are not counted.
[[nodiscard]] std::vector<FillingPart> filling_parts(const Cabinet& cabinet, const Filling& filling);

/// Share of a straight tetrahedron where a function that is linear in it, given at the corners, is positive.
[[nodiscard]] double positive_share(std::array<double, 4> value);

} // namespace stillwall::solver::internal
