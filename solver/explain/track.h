#pragma once
// Which mode is which after something has changed, on the same mesh.

#include <Eigen/Core>

#include <optional>
#include <vector>

namespace stillwall::solver {

/// Pairs modes by likeness of their shapes (modal assurance criterion), the surest pairs first; frequencies decide
/// among pairs that are equally alike to 0.02.
/// @param before, after  shapes over the same unknowns, a mode a column
/// @return for each mode of `before` its place in `after`; nothing when none is alike by a half
/// @source R. J. Allemang, D. L. Brown, Proc. IMAC 1 (1982) 110
[[nodiscard]] std::vector<std::optional<int>> tracked(const Eigen::MatrixXd& before, const Eigen::VectorXd& f_before,
                                                      const Eigen::MatrixXd& after, const Eigen::VectorXd& f_after);

} // namespace stillwall::solver
