#pragma once
// Sums over the ten-node tetrahedra of a mesh, in matrices that all have the mesh's one pattern.

#include "solver/air/acoustic.h"

#include <array>

namespace stillwall::solver::internal {

/// Positions of an element's nodes [m].
[[nodiscard]] Eigen::Matrix<double, 3, 10> tet_positions(const AirMesh& mesh, const std::array<int, 10>& tet);

/// A matrix of zeros with a place for every pair of nodes that share an element.
[[nodiscard]] SparseMatrix tet_pattern(const AirMesh& mesh);

/// Where an element's 100 entries stand among the pattern's values, column by column.
using TetPlaces = std::array<int, 100>;
[[nodiscard]] TetPlaces tet_places(const SparseMatrix& pattern, const std::array<int, 10>& tet);

/// Adds an element's matrix to one of that pattern.
void add_tet(const Matrix10d& element, const TetPlaces& places, SparseMatrix& sum);

} // namespace stillwall::solver::internal
