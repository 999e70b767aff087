#include "solver/structure/shell/attach.h"

#include "mesh/core/shell_locator.h"
#include "solver/linalg/cross.h"

#include <Eigen/Dense>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::Matrix3d;
using Eigen::Matrix3Xd;
using Eigen::MatrixXd;
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

BoardPoint locate(const Cabinet& cabinet, const ShellMesh& mesh, int board, const Vector3d& position)
{
    const auto place = BoardLocator(cabinet, mesh, board).nearest(position);
    if (!place || !(place->distance < 5e-3))
        throw MeshError("board " + cabinet.board(board).name +
                        ": no material at a point where something is fixed to it");
    return {place->quad, quad9_values(place->r, place->s)};
}

} // namespace stillwall::solver
