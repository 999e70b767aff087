#include "solver/shell/attach.h"

#include "solver/internal/cross.h"
#include "solver/shell/assembly.h"
#include "solver/shell/shape.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::Matrix3d;
using Eigen::Matrix3Xd;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;

MatrixXd rim_motion(const Matrix3Xd& X, const VectorXd& weights, const Vector3d& centre)
{
    const Index m = X.cols();
    const Vector3d middle = X * weights;
    Matrix3d inertia = Matrix3d::Zero();
    for (Index i = 0; i < m; ++i) {
        const Matrix3d R = cross_matrix(X.col(i) - middle);
        inertia += weights[i] * R.transpose() * R;
    }
    if (!(inertia.determinant() > 0)) throw DomainError("rim nodes lie on a line");
    const Matrix3d inverse = inertia.inverse();
    MatrixXd T = MatrixXd::Zero(6, 6 * m);
    for (Index i = 0; i < m; ++i) {
        T.block<3, 3>(0, 6 * i) = weights[i] * Matrix3d::Identity();
        T.block<3, 3>(3, 6 * i) = inverse * weights[i] * cross_matrix(X.col(i) - middle);
    }
    T.topRows<3>() -= cross_matrix(centre - middle) * T.bottomRows<3>(); // u(c) = u + θ × (c − middle)
    return T;
}

VectorXd rim_weights(const Matrix3Xd& X)
{
    const Index m = X.cols();
    VectorXd w = VectorXd::Zero(m);
    for (Index i = 0; i < m; ++i) {
        const double half = (X.col((i + 1) % m) - X.col(i)).norm() / 2;
        w[i] += half;
        w[(i + 1) % m] += half;
    }
    return w / w.sum();
}

MatrixXd rigid_mass(double mass, double axial, double radial, const Vector3d& axis)
{
    MatrixXd M = MatrixXd::Zero(6, 6);
    const Matrix3d along = axis * axis.transpose();
    M.topLeftCorner<3, 3>() = mass * Matrix3d::Identity();
    M.bottomRightCorner<3, 3>() = axial * along + radial * (Matrix3d::Identity() - along);
    return M;
}

namespace {

/// Natural coordinates of p in a plane quad by Newton's method, not limited to the element.
Vector2d natural_coordinates(const Eigen::Matrix2Xd& X, const Vector2d& p)
{
    Vector2d q = Vector2d::Zero();
    for (int step = 0; step < 20; ++step) {
        const Shape f = shape_at(ElementFamily::Quad9, q.x(), q.y());
        Eigen::Matrix2d J;
        J << X * f.N_r, X * f.N_s;
        const Vector2d dq = J.inverse() * (p - X * f.N);
        q += dq;
        if (!(dq.norm() < 10)) break; // far outside: of no interest
        if (dq.norm() < 1e-12) break;
    }
    return q;
}

} // namespace

BoardPoint locate(const Cabinet& cabinet, const ShellMesh& mesh, int board, const Vector3d& position)
{
    const Board& b = cabinet.board(board);
    const Vector2d p = b.frame.to_board(position);
    BoardPoint best;
    double best_distance = 5e-3;
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        const auto& quad = mesh.quads[e];
        if (quad.board != board) continue;
        Eigen::Matrix2Xd X(2, 9);
        for (int i = 0; i < 9; ++i) X.col(i) = b.frame.to_board(mesh.nodes.col(quad.node[static_cast<std::size_t>(i)]));
        const double reach = (X.col(2) - X.col(0)).norm() + 5e-3;
        if ((X.col(8) - p).norm() > reach) continue;
        const Vector2d q = natural_coordinates(X, p).cwiseMax(-1).cwiseMin(1);
        if (!q.allFinite()) continue;
        const Shape f = shape_at(ElementFamily::Quad9, q.x(), q.y());
        const double distance = (X * f.N - p).norm();
        if (distance < best_distance) {
            best_distance = distance;
            best = {static_cast<int>(e), f.N};
        }
        if (distance < 1e-9) break;
    }
    if (best.quad < 0) throw MeshError("board " + b.name + ": no material at a point where something is fixed to it");
    return best;
}

} // namespace stillwall::solver
