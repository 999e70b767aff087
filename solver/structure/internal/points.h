#pragma once
// A point on a board as rows over the unknowns of the element it lies in.

#include "solver/structure/shell/attach.h"
#include "solver/structure/structure.h"

namespace stillwall::solver::internal {

[[nodiscard]] inline std::vector<int> nodes_at(const Structure& structure, const BoardPoint& point)
{
    const auto& base = structure.base_nodes[static_cast<std::size_t>(point.quad)];
    return {base.begin(), base.end()};
}

/// Translation and rotation there, shape (6, 54).
[[nodiscard]] inline Eigen::MatrixXd motion_at(const BoardPoint& point)
{
    Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(6, 54);
    for (Eigen::Index i = 0; i < 9; ++i) rows.block<6, 6>(0, 6 * i).diagonal().setConstant(point.N[i]);
    return rows;
}

} // namespace stillwall::solver::internal
