#pragma once
// Elements → pieces with sections: which layers cover them, which joint strips they lie in, which leaves they have.

#include "solver/structure/internal/board_nodes.h"
#include "solver/structure/internal/law_table.h"

namespace stillwall::solver::internal {

/// Fills groups, sections, pieces, films and film pieces.
void group_elements(const Cabinet& cabinet, const ShellMesh& mesh, LawTable& laws, BoardNodes& nodes,
                    Structure& structure);

} // namespace stillwall::solver::internal
