#pragma once
// What is fixed to the boards, as dense blocks over the nodes concerned.

#include "solver/modes/structure.h"

namespace stillwall::solver::internal {

/// Drivers, ports and plates: rigid masses on their hole's rim, and the rim's stiffness where given.
void attach_inserts(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Ribs and cleats: eccentric beams on the board's nodes.
void attach_ribs(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Rods: beams with nodes of their own, tied to the boards at both ends.
void attach_rods(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Twist at the boards' glued ends. At a free end of a plate the twisting stress turns round and the plate yields (a layer of
/// t/√10); at a solid joint it flows on into the neighbour and there is no such layer. Each board that ends on a junction gets a line
/// stiffness there that holds its edge rotation to the slope along the edge: (w' + β_s)².
void attach_junctions(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Feet and spikes: springs to the ground.
void attach_supports(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);

} // namespace stillwall::solver::internal
