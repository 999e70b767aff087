#pragma once
// The product's element: nine-node quadrilaterals.

#include "solver/structure/shell/family.h"

namespace stillwall::solver {

/// MITC9: Bucalem & Bathe, Int. J. Numer. Meth. Eng. 36 (1993) 3729; on flat elements only the shear is tied. Node
/// order: shell_mesh.h.
[[nodiscard]] const ElementFamily& nine_nodes();

} // namespace stillwall::solver
