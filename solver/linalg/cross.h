#pragma once
// The cross product as a matrix.

#include <Eigen/Core>

namespace stillwall::solver {

/// cross_matrix(v) w = v × w.
[[nodiscard]] inline Eigen::Matrix3d cross_matrix(const Eigen::Vector3d& v)
{
    Eigen::Matrix3d m;
    m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
    return m;
}

} // namespace stillwall::solver
