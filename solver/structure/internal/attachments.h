#pragma once
// What is fixed to the boards, as dense blocks over the nodes concerned.

#include "solver/structure/internal/board_nodes.h"
#include "solver/structure/internal/law_table.h"

namespace stillwall::solver::internal {

/// Drivers, ports and plates: rigid masses on their hole's rim, the rim's stiffness where given; drivers that hang on a
/// basket: flange along the rim, motor on springs; soft mounts and ties from a magnet's rear to another board. What
/// hangs has a node of its own at its centre of mass.
void attach_inserts(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, Structure& structure);
/// Ribs and cleats: eccentric beams on the board's nodes.
void attach_ribs(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, Structure& structure);
/// Rods: beams with nodes of their own, tied to the boards at both ends.
void attach_rods(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Glued joints along the junction lines, beyond what their strips carry:
///  - a corner's solid block as a bar on the line (its stretch, bending and mass lie there, not inside the strips);
///  - the block's torsion beyond the strips' own twist;
///  - twist passed on: at a free end of a plate the twisting stress turns round and the plate yields (a layer of
///  t/√10), at a solid
///    joint it flows on into the neighbour. Each board that ends on the line has its edge rotation held to the slope
///    along it.
/// @param solid  the cabinet with its boards as solid as their joints, see without_films
void attach_junctions(const Cabinet& solid, const ShellMesh& mesh, const BoardNodes& nodes, LawTable& laws,
                      Structure& structure);
/// Joints that are not glued: line springs between the two boards, at the middle of the contact.
void attach_line_springs(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, Structure& structure);
/// Weights: mass at their points, spread over their rectangle by nine points of Gauss.
void attach_masses(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);
/// Feet and spikes: springs to the ground.
void attach_supports(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure);

} // namespace stillwall::solver::internal
