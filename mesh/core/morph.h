#pragma once
// The same mesh on a slightly changed cabinet: what a derivative by a length needs. Nodes follow the features they lie
// on, so that the mesh of a cabinet with a brace moved or a wall made thicker has the same elements in the same order.

#include "mesh/core/shell_mesh.h"

namespace stillwall {

/// Moves the nodes of `mesh` (made for `from`) to where they belong in `to`, a cabinet that differs by small changes of
/// lengths only: same boards, junctions, openings, ribs, layers in the same order.
///     every node        stays on the mid-planes of all boards it belongs to
///     junction lines    map onto the new lines, nodes on an end onto the new end
///     strips            the sides of the rows beside a junction keep the distance strip_passing / strip_ending of `to`
///     free edges        map by the outline's corners
///     rims and holes    follow their opening (centre, size, rotation); where a board, a rib or a strip's side ends on
///     a rim the
///                       node goes to the new crossing and its neighbours slide along the rim in proportion
///     ribs, clamped edges  follow their ends
///     all others        move smoothly: the least Σ ∫ |∇d|² of the displacement d over the boards, one linear solution
///     mid-side nodes    keep their place between their ends, centres theirs between the sides
/// Where features contradict each other (limits of two boards' strips that were one node on their common line) the
/// first board's counts. The map is smooth in the change, so central differences by it are clean: exactly linear where
/// lines shift in parallel; where lines turn or end on a round rim of radius R the quadratic part is of the order
/// change/R.
/// @throws DomainError  when the cabinets or the mesh do not correspond, a line no longer meets the rim it ended on, or
/// an
///                      element would be folded over
[[nodiscard]] ShellMesh morph(const ShellMesh& mesh, const Cabinet& from, const Cabinet& to);

} // namespace stillwall
