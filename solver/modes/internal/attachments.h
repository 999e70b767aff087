#pragma once
// What is fixed to the boards, as dense blocks over the nodes concerned.

#include "solver/modes/internal/law_table.h"
#include "solver/modes/structure.h"

namespace stillwall::solver::internal {

/// Drivers, ports and plates: rigid masses on their hole's rim, and the rim's stiffness where given.
void attach_inserts(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Ribs and cleats: eccentric beams on the board's nodes.
void attach_ribs(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Rods: beams with nodes of their own, tied to the boards at both ends.
void attach_rods(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Glued joints along the junction lines, beyond what their strips carry:
///  - a corner's solid block as a bar on the line (its stretch, bending and mass lie there, not inside the strips);
///  - the block's torsion beyond the strips' own twist;
///  - twist passed on: at a free end of a plate the twisting stress turns round and the plate yields (a layer of t/√10), at a solid
///    joint it flows on into the neighbour. Each board that ends on the line has its edge rotation held to the slope along it.
void attach_junctions(const Cabinet& cabinet, const ShellMesh& mesh, LawTable& laws, Structure& structure);
/// Feet and spikes: springs to the ground.
void attach_supports(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);

} // namespace stillwall::solver::internal
