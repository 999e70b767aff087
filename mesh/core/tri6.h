#pragma once
// The six-node triangle, and what quadratic triangles and tetrahedra share.
//
//           2
//          5 4          corners at the origin and on the axes r, s; mid-edges 3: 0-1, 4: 1-2, 5: 2-0
//         0 3 1

#include <Eigen/Core>

#include <array>

namespace stillwall {

/// Quadratic shape functions of a simplex from its barycentric coordinates: L(2L − 1) at corners, 4 L_i L_j at
/// mid-edges.
/// @param L      shape (corners)
/// @param edges  end corners of the mid-edge nodes
template <int n_corners, std::size_t n_edges>
[[nodiscard]] Eigen::Matrix<double, n_corners + static_cast<int>(n_edges), 1>
quadratic_values(const Eigen::Matrix<double, n_corners, 1>& L, const std::array<std::array<int, 2>, n_edges>& edges)
{
    Eigen::Matrix<double, n_corners + static_cast<int>(n_edges), 1> N;
    for (int c = 0; c < n_corners; ++c) N[c] = L[c] * (2 * L[c] - 1);
    for (std::size_t e = 0; e < n_edges; ++e) N[n_corners + static_cast<int>(e)] = 4 * L[edges[e][0]] * L[edges[e][1]];
    return N;
}

/// Their derivatives by the local coordinates, which are the barycentric ones of the corners 1, 2, …; shape (nodes,
/// n_corners − 1).
template <int n_corners, std::size_t n_edges>
[[nodiscard]] Eigen::Matrix<double, n_corners + static_cast<int>(n_edges), n_corners - 1>
quadratic_gradients(const Eigen::Matrix<double, n_corners, 1>& L, const std::array<std::array<int, 2>, n_edges>& edges)
{
    constexpr int n = n_corners - 1;
    Eigen::Matrix<double, n_corners, n> dL;
    dL << -Eigen::Matrix<double, 1, n>::Ones(), Eigen::Matrix<double, n, n>::Identity();
    Eigen::Matrix<double, n_corners + static_cast<int>(n_edges), n> dN;
    for (int c = 0; c < n_corners; ++c) dN.row(c) = (4 * L[c] - 1) * dL.row(c);
    for (std::size_t e = 0; e < n_edges; ++e) {
        const auto [i, j] = edges[e];
        dN.row(n_corners + static_cast<int>(e)) = 4 * (L[i] * dL.row(j) + L[j] * dL.row(i));
    }
    return dN;
}

/// End corners of mid-edge nodes 3 … 5.
inline constexpr std::array<std::array<int, 2>, 3> tri6_edges = {{{0, 1}, {1, 2}, {2, 0}}};

using Tri6Values = Eigen::Matrix<double, 6, 1>;
using Tri6Gradients = Eigen::Matrix<double, 6, 2>;

/// Shape functions at r, s ≥ 0, r + s ≤ 1.
[[nodiscard]] inline Tri6Values tri6_values(double r, double s)
{
    return quadratic_values<3>(Eigen::Vector3d(1 - r - s, r, s), tri6_edges);
}

/// ∂N_a/∂(r, s).
[[nodiscard]] inline Tri6Gradients tri6_gradients(double r, double s)
{
    return quadratic_gradients<3>(Eigen::Vector3d(1 - r - s, r, s), tri6_edges);
}

} // namespace stillwall
