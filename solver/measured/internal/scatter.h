#pragma once

#include "solver/measured/sweep.h"

namespace stillwall::solver::internal {

/// What a cubic through its four neighbours (in ln f) leaves of each point.
struct Scatter
{
    Eigen::VectorXcd left; ///< 0 for the first and last two
    Eigen::VectorXd gain;  ///< its standard deviation over that of one point
};
[[nodiscard]] Scatter scatter_of(const Sweep& sweep);

} // namespace stillwall::solver::internal
