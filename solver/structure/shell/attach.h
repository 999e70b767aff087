#pragma once
// Things fixed to boards: rigid bodies on a hole's rim, points on a board.

#include "mesh/core/shell_mesh.h"

#include <Eigen/Core>

namespace stillwall::solver {

/// Motion of a rigid body carried by a rim, as rows over the rim nodes' unknowns: translation at `centre`, then
/// rotation. The body follows the rim's weighted least-squares rigid motion, so it adds its mass but no stiffness.
/// @param X        rim node positions [m], shape (3, m), m ≥ 3 and not on a line
/// @param weights  share of the rim's length per node, sum 1
/// @return         shape (6, 6 m)
[[nodiscard]] Eigen::MatrixXd rim_motion(const Eigen::Matrix3Xd& X, const Eigen::VectorXd& weights,
                                         const Eigen::Vector3d& centre);

/// Share of a closed polyline's length per node (half of each neighbouring side), sum 1.
[[nodiscard]] Eigen::VectorXd rim_weights(const Eigen::Matrix3Xd& X);

/// 6×6 mass of a rigid body at its centre of mass, rotation axis `axis` with `axial` inertia, `radial` across.
[[nodiscard]] Eigen::MatrixXd rigid_mass(double mass, double axial, double radial, const Eigen::Vector3d& axis);

/// A point on a board: the element it lies in and the shape functions there.
struct BoardPoint
{
    int quad = -1;
    Eigen::VectorXd N;
};

/// Finds the point of a board nearest to `position` (which should lie on its mid-plane).
/// @throws MeshError when the board's mesh has no element within 5 mm of it (say, a hole)
[[nodiscard]] BoardPoint locate(const Cabinet& cabinet, const ShellMesh& mesh, int board,
                                const Eigen::Vector3d& position);

} // namespace stillwall::solver
