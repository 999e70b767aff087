#pragma once
// Symmetric sparse matrices in the Matrix Market exchange format (coordinate real symmetric).

#include "solver/linalg/eigen.h"

#include <string>

namespace stillwall::bench {

/// @throws Error  the file cannot be read or is not of this format
[[nodiscard]] solver::SparseMatrix read_matrix_market(const std::string& path);

/// Writes the lower triangle with 17 digits.
void write_matrix_market(const std::string& path, const solver::SparseMatrix& A);

} // namespace stillwall::bench
