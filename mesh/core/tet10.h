#pragma once
// The ten-node tetrahedron: shape functions and a quadrature rule.
//
//            3              corners 0-3, (1 − 0) × (2 − 0) · (3 − 0) > 0
//           /|\             mid-edges 4: 0-1   5: 1-2   6: 0-2
//          7 | 9                      7: 0-3   8: 1-3   9: 2-3
//         /  8  \                                               .
//        0-6-|---2          local coordinates (r, s, t): corner 0 at the origin, 1, 2, 3 on the axes
//          4 | 5
//            1

#include <Eigen/Core>

#include <array>

namespace stillwall {

/// End corners of mid-edge nodes 4 … 9.
inline constexpr std::array<std::array<int, 2>, 6> tet10_edges = {{{0, 1}, {1, 2}, {0, 2}, {0, 3}, {1, 3}, {2, 3}}};

/// Nodes of the four faces, corners anticlockwise seen from outside, then the mid-edges 0-1, 1-2, 2-0 of the triangle.
inline constexpr std::array<std::array<int, 6>, 4> tet10_faces = {
    {{0, 2, 1, 6, 5, 4}, {0, 1, 3, 4, 8, 7}, {0, 3, 2, 7, 9, 6}, {1, 2, 3, 5, 9, 8}}};

using Tet10Values = Eigen::Matrix<double, 10, 1>;
using Tet10Gradients = Eigen::Matrix<double, 10, 3>;

/// Shape functions at a local point: L(2L − 1) at corners, 4 L_i L_j at mid-edges.
[[nodiscard]] Tet10Values tet10_values(const Eigen::Vector3d& r);

/// ∂N_a/∂(r, s, t), shape (10, 3).
[[nodiscard]] Tet10Gradients tet10_gradients(const Eigen::Vector3d& r);

/// A point of a rule on the unit tetrahedron; weights sum to its volume, 1/6.
struct TetPoint
{
    Eigen::Vector3d r;
    double weight = 0;
};

/// 14 points inside, positive weights, exact to degree 5.
/// @source N. J. Walkington, Quadrature on simplices of arbitrary dimension, Carnegie Mellon University (2000); the
/// figures
///         are from memory and checked by integrating every monomial to degree 5 in the tests
[[nodiscard]] const std::array<TetPoint, 14>& tet_rule_5();

} // namespace stillwall
