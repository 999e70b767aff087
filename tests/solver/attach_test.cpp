// Rigid bodies on rims and points on boards.

#include "mesh/cabinet/error.h"
#include "solver/structure/shell/attach.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using Eigen::Index;
using Eigen::Matrix3Xd;
using Eigen::MatrixXd;
using Eigen::Vector3d;
using Eigen::VectorXd;

namespace {

/// Points around an ellipse, unevenly, out of plane when asked.
Matrix3Xd rim(int n, double out_of_plane)
{
    Matrix3Xd X(3, n);
    for (int i = 0; i < n; ++i) {
        const double angle = 2 * std::numbers::pi * (i + 0.3 * std::sin(3.0 * i)) / n;
        X.col(i) = Vector3d(0.4 + 0.1 * std::cos(angle), -0.2 + 0.07 * std::sin(angle),
                            0.3 + out_of_plane * std::cos(2 * angle));
    }
    return X;
}

VectorXd rigid(const Matrix3Xd& X, const Vector3d& u, const Vector3d& theta)
{
    VectorXd v(6 * X.cols());
    for (Index i = 0; i < X.cols(); ++i) v.segment<6>(6 * i) << u + theta.cross(X.col(i)), theta;
    return v;
}

/// A board 0.2 × 0.1 m of two elements, the left one with a curved right side; frame turned and moved.
struct TwoElements
{
    Cabinet cabinet;
    ShellMesh mesh;

    TwoElements()
    {
        Board board;
        board.name = "front";
        board.frame.origin = Vector3d(1, 2, 3);
        board.frame.e1 = Vector3d(0, 1, 0);
        board.frame.e2 = Vector3d(0, 0, 1);
        board.frame.n = Vector3d(1, 0, 0);
        cabinet.boards = {board};
        mesh.nodes.resize(3, 15);
        int node = 0;
        for (int j = 0; j < 3; ++j)
            for (int i = 0; i < 5; ++i) {
                const double bulge = i == 2 && j == 1 ? 0.006 : 0;
                mesh.nodes.col(node++) = board.frame.to_space({0.05 * i + bulge, 0.05 * j});
            }
        const auto quad = [](int c) {
            return std::array<int, 9>{c, c + 2, c + 12, c + 10, c + 1, c + 7, c + 11, c + 5, c + 6};
        };
        mesh.quads = {{quad(0), 0, 0}, {quad(2), 0, 0}};
    }
};

} // namespace

TEST_CASE("a rigid rim carries its body along", "[solver][shell][attach]")
{
    for (double out_of_plane : {0.0, 0.02}) {
        const Matrix3Xd X = rim(17, out_of_plane);
        const VectorXd weights = solver::rim_weights(X);
        const Vector3d centre(0.42, -0.19, 0.25), u(0.1, -0.3, 0.2), theta(0.5, 0.1, -0.4);
        const VectorXd motion = solver::rim_motion(X, weights, centre) * rigid(X, u, theta);
        // Reference: u + θ × c and θ. Tolerance: round-off.
        CHECK((motion.head<3>() - (u + theta.cross(centre))).norm() < 1e-13);
        CHECK((motion.tail<3>() - theta).norm() < 1e-12);
    }
}

TEST_CASE("the rim's motion is the weighted best fit", "[solver][shell][attach]")
{
    const Matrix3Xd X = rim(11, 0.01);
    const VectorXd weights = solver::rim_weights(X);
    CHECK_THAT(weights.sum(), Catch::Matchers::WithinRel(1.0, 1e-14));
    CHECK(weights.minCoeff() > 0);
    std::srand(7);
    VectorXd v = VectorXd::Random(6 * X.cols());
    const Vector3d centre = X * weights;
    const VectorXd motion = solver::rim_motion(X, weights, centre) * v;
    // Reference: what is left over does not project on any rigid motion. Tolerance: round-off.
    v -= rigid(X, motion.head<3>() - motion.tail<3>().cross(centre), motion.tail<3>());
    for (int k = 0; k < 6; ++k) {
        Eigen::Matrix<double, 6, 1> unit = Eigen::Matrix<double, 6, 1>::Unit(k);
        const VectorXd mode = rigid(X, unit.head<3>(), unit.tail<3>());
        double projection = 0;
        for (Index i = 0; i < X.cols(); ++i) projection += weights[i] * mode.segment<3>(6 * i).dot(v.segment<3>(6 * i));
        CHECK(std::abs(projection) < 1e-14);
    }
}

TEST_CASE("a body on a rim adds its mass and no more", "[solver][shell][attach]")
{
    const Matrix3Xd X = rim(9, 0);
    const Vector3d centre(0.41, -0.2, 0.34);
    const MatrixXd T = solver::rim_motion(X, solver::rim_weights(X), centre);
    const MatrixXd M = T.transpose() * solver::rigid_mass(2.5, 0.01, 0.006, Vector3d::UnitZ()) * T;
    const VectorXd along = rigid(X, Vector3d::UnitY(), Vector3d::Zero()),
                   about = rigid(X, Vector3d::Zero(), Vector3d::UnitX());
    // Reference: m, and J + m r² about the x axis through the origin. Tolerance: round-off.
    CHECK_THAT(along.dot(M * along), Catch::Matchers::WithinRel(2.5, 1e-13));
    CHECK_THAT(about.dot(M * about), Catch::Matchers::WithinRel(0.006 + 2.5 * (0.2 * 0.2 + 0.34 * 0.34), 1e-12));
    CHECK(Eigen::FullPivLU<MatrixXd>(M).setThreshold(1e-12).rank() == 6);
}

TEST_CASE("rigid bodies turn about any axis", "[solver][shell][attach]")
{
    const Vector3d axis = Vector3d(1, -2, 0.5).normalized(), across = axis.unitOrthogonal();
    const Eigen::Matrix3d J = solver::rigid_mass(1, 0.03, 0.02, axis).bottomRightCorner<3, 3>();
    // Reference: the inertias given. Tolerance: round-off.
    CHECK_THAT(axis.dot(J * axis), Catch::Matchers::WithinRel(0.03, 1e-13));
    CHECK_THAT(across.dot(J * across), Catch::Matchers::WithinRel(0.02, 1e-13));
}

TEST_CASE("rims on a line are refused", "[solver][shell][attach]")
{
    Matrix3Xd X(3, 4);
    X << 0, 1, 2, 3, 0, 0, 0, 0, 0, 0, 0, 0;
    CHECK_THROWS_AS(solver::rim_motion(X, VectorXd::Constant(4, 0.25), Vector3d::Zero()), DomainError);
}

TEST_CASE("points on a board are found in the element they lie in", "[solver][shell][attach]")
{
    const TwoElements two;
    const Frame& frame = two.cabinet.boards[0].frame;
    for (const auto& [x, y, quad] :
         {std::tuple{0.03, 0.02, 0}, {0.104, 0.05, 0}, {0.109, 0.05, 1}, {0.19, 0.09, 1}, {0.0, 0.0, 0}}) {
        const Vector3d p = frame.to_space({x, y});
        const auto at = solver::locate(two.cabinet, two.mesh, 0, p);
        CHECK(at.quad == quad);
        Vector3d back = Vector3d::Zero();
        for (int i = 0; i < 9; ++i)
            back += at.N[i] * two.mesh.nodes.col(
                                  two.mesh.quads[static_cast<std::size_t>(quad)].node[static_cast<std::size_t>(i)]);
        // Reference: the point itself. Tolerance: Newton's last step.
        CHECK((back - p).norm() < 1e-9);
    }
    CHECK_THROWS_AS(solver::locate(two.cabinet, two.mesh, 0, frame.to_space({0.25, 0.05})), MeshError);
}
