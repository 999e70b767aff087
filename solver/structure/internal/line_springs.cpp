#include "mesh/core/line3.h"
#include "solver/linalg/cross.h"
#include "solver/structure/internal/attachments.h"

#include <Eigen/Geometry>

#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector3d;

/// Directions at a junction: along the line, across the contact (the passing board's normal), and from the line to the
/// contact.
struct Contact
{
    Vector3d s, normal, arm;
};

Contact contact_of(const Cabinet& cabinet, const Junction& junction)
{
    const Board& passing = cabinet.board(junction.passing);
    const Board& ending = cabinet.board(junction.ending);
    Contact c;
    c.s = (junction.to - junction.from).normalized();
    const Vector3d middle = (junction.from + junction.to) / 2;
    c.normal = passing.frame.touching(middle).n;
    const Vector3d along_ending = ending.frame.touching(middle).n.cross(c.s);
    // The ending board's wood lies on the side where its middle is.
    const double side = along_ending.dot(middle_of(ending) - junction.from) > 0 ? 1 : -1;
    c.arm = side * junction.overlap_ending * along_ending;
    return c;
}

/// Springs along one side (end, middle, end): unknowns of the removable board's three nodes, then the other's.
MatrixXd side_stiffness(const LineSpring& spring, const Contact& c, const Eigen::Matrix3d& X)
{
    MatrixXd K = MatrixXd::Zero(36, 36);
    const double half = (X.col(2) - X.col(0)).norm() / 2;
    for (std::size_t g = 0; g < gauss_x.size(); ++g) {
        const Line3 line(gauss_x[g]);
        MatrixXd gap = MatrixXd::Zero(6, 36); // translation at the contact, rotation: removable less other
        for (Index i = 0; i < 3; ++i)
            for (Index board = 0; board < 2; ++board) {
                const double N =
                    board == 0 ? line.L[static_cast<std::size_t>(i)] : -line.L[static_cast<std::size_t>(i)];
                const Index at = 18 * board + 6 * i;
                gap.block<3, 3>(0, at).diagonal().setConstant(N);
                gap.block<3, 3>(3, at + 3).diagonal().setConstant(N);
                gap.block<3, 3>(0, at + 3) = -N * cross_matrix(c.arm); // θ × arm
            }
        const Eigen::Matrix3d n_n = c.normal * c.normal.transpose();
        MatrixXd k = MatrixXd::Zero(6, 6);
        k.topLeftCorner<3, 3>() = spring.normal.value * n_n + spring.shear.value * (Eigen::Matrix3d::Identity() - n_n);
        k.bottomRightCorner<3, 3>() = spring.turning.value * c.s * c.s.transpose();
        K += gauss_w[g] * half * gap.transpose() * k * gap;
    }
    return K;
}

} // namespace

void attach_line_springs(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, Structure& structure)
{
    for (const Junction& junction : cabinet.junctions) {
        if (!junction.spring) continue;
        const LineSpring& spring = *junction.spring;
        const int other = spring.removable == junction.passing ? junction.ending : junction.passing;
        const Contact contact = contact_of(cabinet, junction);
        for (const auto& side : sides_on_line(cabinet, mesh, junction)) {
            Attachment a{
                Attachment::Kind::Spring,      spring.name, spring.removable, -1, spring.loss.value, {}, {}, {},
                relative_range(spring.normal), spring.loss};
            a.nodes = nodes.base(spring.removable, {side.begin(), side.end()});
            if (a.nodes == nodes.base(other, {side.begin(), side.end()}))
                continue; // held by a glued joint at both ends
            for (int node : nodes.base(other, {side.begin(), side.end()})) a.nodes.push_back(node);
            Eigen::Matrix3d X;
            for (Index i = 0; i < 3; ++i) X.col(i) = mesh.nodes.col(side[static_cast<std::size_t>(i)]);
            a.K = side_stiffness(spring, contact, X);
            structure.attachments.push_back(std::move(a));
        }
    }
}

} // namespace stillwall::solver::internal
