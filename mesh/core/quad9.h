#pragma once
// The nine-node quadrilateral: shape functions as products of quadratics. Node order of shell_mesh.h.

#include "mesh/core/line3.h"

#include <Eigen/Core>

#include <array>

namespace stillwall {

/// Place of the element's nodes in the three-by-three grid: column along r, row along s; 0, 1, 2 stand for −1, 0, 1.
inline constexpr std::array<int, 9> quad9_column = {0, 2, 2, 0, 1, 2, 1, 0, 1};
inline constexpr std::array<int, 9> quad9_row = {0, 0, 2, 2, 0, 1, 2, 1, 1};

/// Line3's polynomials and their derivatives as vectors.
[[nodiscard]] inline Eigen::Vector3d quadratics(double x)
{
    return Eigen::Vector3d(Line3(x).L.data());
}

[[nodiscard]] inline Eigen::Vector3d quadratic_slopes(double x)
{
    return Eigen::Vector3d(Line3(x).D.data());
}

using Quad9Values = Eigen::Matrix<double, 9, 1>;

/// What a polynomial along r and one along s give at the nodes, shape (9).
[[nodiscard]] inline Quad9Values quad9_product(const Eigen::Vector3d& along_r, const Eigen::Vector3d& along_s)
{
    Quad9Values N;
    for (int a = 0; a < 9; ++a) {
        const auto k = static_cast<std::size_t>(a);
        N[a] = along_r[quad9_column[k]] * along_s[quad9_row[k]];
    }
    return N;
}

/// Shape functions at r, s ∈ [−1, 1].
[[nodiscard]] inline Quad9Values quad9_values(double r, double s)
{
    return quad9_product(quadratics(r), quadratics(s));
}

} // namespace stillwall
