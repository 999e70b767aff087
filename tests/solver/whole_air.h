#pragma once
// H and Q of a whole mesh of open air, without the product's regions.

#include "solver/air/acoustic.h"
#include "solver/air/internal/tet_sum.h"

namespace stillwall::test {

/// @param c  speed of sound [m/s], > 0
inline solver::AirMatrices assemble_air(const AirMesh& mesh, double c)
{
    const solver::SparseMatrix pattern = solver::internal::tet_pattern(mesh);
    solver::AirMatrices matrices{pattern, pattern};
    for (const auto& tet : mesh.tets) {
        const solver::AirElement element = solver::air_element(solver::internal::tet_positions(mesh, tet), c);
        const solver::internal::TetPlaces places = solver::internal::tet_places(pattern, tet);
        solver::internal::add_tet(element.H, places, matrices.H);
        solver::internal::add_tet(element.Q, places, matrices.Q);
    }
    return matrices;
}

} // namespace stillwall::test
