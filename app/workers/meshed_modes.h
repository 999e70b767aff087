#pragma once
// The modes of a cabinet on a mesh that keeps what its accuracy promises, by the run's own estimate.

#include "mesh/cabinet/cabinet.h"
#include "mesh/core/shell_mesh.h"
#include "solver/modes/accuracy.h"
#include "solver/modes/analysis.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

/// What a second, finer mesh was made for.
struct MeshedAgain
{
    std::vector<std::string> finer; ///< boards that got smaller elements, in the cabinet's order
    double error_before = 0;        ///< [-] largest estimate on the first mesh
};

struct MeshedModes
{
    ShellMesh mesh;
    solver::ModesResult result;
    solver::ModesWork work;
    std::vector<double> mesh_error; ///< [-] estimated, of each mode's frequency (solver/modes/mesh_error.h)
    std::optional<MeshedAgain> meshed_again;
    double element_size = 0; ///< [m] wanted, of boards that were not made finer
    double seconds_mesh = 0; ///< of both
};

/// Meshes and solves; where some mode's estimated error passes what the accuracy promises, once more with smaller
/// elements on the boards where it sits (solver::finer_where_needed). Draft is left as it is: it is to be fast, and its
/// errors are told. A second mesh that cannot be made leaves the first.
/// @throws MeshError, DomainError, SolverError
[[nodiscard]] MeshedModes mesh_and_solve(const Cabinet& cabinet, solver::Accuracy accuracy,
                                         const solver::ModesOptions& options);

} // namespace stillwall::app
