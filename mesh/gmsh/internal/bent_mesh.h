#pragma once
// Meshes of the facets as meshes of the cabinet with its curved boards.

#include "mesh/core/air_mesh.h"
#include "mesh/core/outer_mesh.h"
#include "mesh/core/shell_mesh.h"

namespace stillwall::mesh {

/// All nodes of a curved board, the middles too, lie on its cylinder; where it meets flat boards, in their planes too.
/// @param flat  of cabinet.facets->flat
[[nodiscard]] ShellMesh bent_mesh(const Cabinet& cabinet, ShellMesh flat);

/// The air keeps the facets, which bound the volume the curves do; its faces are told of the curved boards.
[[nodiscard]] AirMesh of_curved(const Cabinet& cabinet, AirMesh flat);
[[nodiscard]] OuterMesh of_curved(const Cabinet& cabinet, OuterMesh flat);

} // namespace stillwall::mesh
