#include "mesh/cabinet/opening.h"
#include "solver/linalg/cross.h"
#include "solver/structure/internal/attachments.h"
#include "solver/structure/internal/points.h"
#include "solver/structure/shell/beam.h"

#include <Eigen/Geometry>

#include <algorithm>

namespace stillwall::solver::internal {
namespace {

using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::RowVectorXd;
using Eigen::Vector3d;
using Kind = Attachment::Kind;

/// Inertia of an insert the user gave only a mass for: a cylinder of 0.9 of the hole's width and 0.4 of it in depth (a
/// guess at a driver's proportions; common practice, no source).
struct Inertia
{
    double axial, radial;
};

Inertia inertia_of(const InsertPlan& insert, double width)
{
    const double r = 0.45 * width, h = insert.kind == InsertPlan::Kind::Plate ? 0.02 * width : 0.4 * width;
    return {insert.inertia_axial.value_or(insert.mass * r * r / 2),
            insert.inertia_radial.value_or(insert.mass * (3 * r * r + h * h) / 12)};
}

/// Motion at a point of a rigid body, from its motion elsewhere: u(p) = u + θ × arm.
Eigen::Matrix<double, 6, 6> carried(const Vector3d& arm)
{
    Eigen::Matrix<double, 6, 6> T = Eigen::Matrix<double, 6, 6>::Identity();
    T.topRightCorner<3, 3>() = -cross_matrix(arm);
    return T;
}

/// One insert in its opening.
struct Seat
{
    const Opening& opening;
    const Board& board;
    int board_index;
    std::vector<int> rim;
    std::string name;
    double width; ///< [m] smaller side

    [[nodiscard]] const InsertPlan& insert() const { return opening.insert; }
    [[nodiscard]] Vector3d middle() const { return board.frame.to_space(opening.centre); }
    [[nodiscard]] Vector3d behind(double depth) const { return middle() - depth * board.frame.n; }
};

/// What moves as one with the insert: its nodes and its motion at its centre of mass.
struct Body
{
    std::vector<int> nodes;
    MatrixXd motion; ///< shape (6, 6 n_nodes)
};

/// Springs of a gasket ring: k along the axis, a third of it across (rubber: G = E/3), spread evenly round the rim's
/// mean radius, so that rocking meets k r²/2 and turning in the plane k r²/3.
MatrixXd ring_springs(double k, double r, const Vector3d& axis)
{
    const Matrix3d along = axis * axis.transpose(), across = Matrix3d::Identity() - along;
    MatrixXd K = MatrixXd::Zero(6, 6);
    K.topLeftCorner<3, 3>() = k * along + k / 3 * across;
    K.bottomRightCorner<3, 3>() = k * r * r / 3 * along + k * r * r / 2 * across;
    return K;
}

/// A soft-mounted driver: a node at its centre of mass, tied to the rim's motion by the gasket.
Body soft_mounted(const Seat& seat, const MatrixXd& at_rim, Structure& structure)
{
    const InsertPlan& insert = seat.insert();
    const LossySpring& gasket = *insert.mount;
    const auto node = static_cast<int>(structure.nodes.cols());
    structure.nodes.conservativeResize(3, node + 1);
    structure.nodes.col(node) = seat.behind(insert.offset);
    Attachment mount{Kind::Mount,
                     seat.name,
                     seat.board_index,
                     -1,
                     gasket.loss.value,
                     seat.rim,
                     {},
                     {},
                     relative_range(gasket.stiffness),
                     gasket.loss};
    mount.nodes.push_back(node);
    MatrixXd gap(6, at_rim.cols() + 6);
    gap << -at_rim, carried(seat.middle() - seat.behind(insert.offset));
    mount.K = gap.transpose() * ring_springs(gasket.stiffness.value, seat.width / 2, seat.board.frame.n) * gap;
    structure.attachments.push_back(std::move(mount));
    return {{node}, MatrixXd::Identity(6, 6)};
}

/// A magnet pressed or tied to a board behind it: a spring along the driver's axis.
void tie_rear(const Cabinet& cabinet, const ShellMesh& mesh, const Seat& seat, const Body& body, Structure& structure)
{
    const InsertPlan& insert = seat.insert();
    const RearTie& held = *insert.rear_tie;
    const int other = cabinet.board_index(held.board).value();
    const Frame& frame = cabinet.board(other).frame;
    const Vector3d n = seat.board.frame.n, rear = seat.behind(held.depth);
    const Vector3d foot =
        rear - frame.height_of(rear) / frame.n.dot(n) * n; // where the axis meets the board's mid-plane
    const BoardPoint point = locate(cabinet, mesh, other, foot);
    Attachment tie{Kind::RearTie,
                   seat.name,
                   seat.board_index,
                   -1,
                   held.spring.loss.value,
                   body.nodes,
                   {},
                   {},
                   relative_range(held.spring.stiffness),
                   held.spring.loss};
    const auto nodes = nodes_at(structure, point);
    tie.nodes.insert(tie.nodes.end(), nodes.begin(), nodes.end());
    RowVectorXd gap(6 * tie.nodes.size());
    gap << n.transpose() * (carried(rear - seat.behind(insert.offset)) * body.motion).topRows<3>(),
        -n.transpose() * motion_at(point).topRows<3>();
    tie.K = held.spring.stiffness.value * gap.transpose() * gap;
    structure.attachments.push_back(std::move(tie));
}

/// The frame as a ring with equal bending and torsion stiffness and no stretch of its own (E = 1 Pa carries I = EI).
void stiffen_rim(const Seat& seat, Structure& structure)
{
    const double EI = seat.insert().rim_EI;
    const BarSection ring{1, 1, 1e-12, 1e-6, EI, EI, EI, 1e-6};
    for (std::size_t i = 0; i + 1 < seat.rim.size(); i += 2) {
        const std::vector<int> nodes = {seat.rim[i], seat.rim[i + 1], seat.rim[(i + 2) % seat.rim.size()]};
        Attachment a{Kind::Rim, seat.name, seat.board_index, -1, 0, nodes, {}, {}};
        a.K = bar_matrices(ring, element_nodes(structure.nodes, nodes), seat.board.frame.n, Vector3d::Zero()).K;
        structure.attachments.push_back(std::move(a));
    }
}

void attach_insert(const Cabinet& cabinet, const ShellMesh& mesh, const Seat& seat, Structure& structure)
{
    const InsertPlan& insert = seat.insert();
    const Eigen::Matrix3Xd X = element_nodes(structure.nodes, seat.rim);
    const Eigen::VectorXd weights = rim_weights(X);
    Body body{seat.rim, rim_motion(X, weights, seat.behind(insert.offset))};
    if (insert.mount) body = soft_mounted(seat, rim_motion(X, weights, seat.middle()), structure);
    if (insert.mass > 0) {
        const Inertia inertia = inertia_of(insert, seat.width);
        Attachment a{Kind::Insert, seat.name, seat.board_index, -1, 0, body.nodes, {}, {}};
        a.M = body.motion.transpose() * rigid_mass(insert.mass, inertia.axial, inertia.radial, seat.board.frame.n) *
              body.motion;
        structure.attachments.push_back(std::move(a));
    }
    structure.taps.push_back({seat.name, seat.board_index, insert.kind == InsertPlan::Kind::Driver, body.nodes,
                              seat.board.frame.n.transpose() * body.motion.topRows<3>(), seat.width,
                              opening_area(seat.opening)});
    if (insert.rim_EI > 0) stiffen_rim(seat, structure);
    if (insert.rear_tie) tie_rear(cabinet, mesh, seat, body, structure);
}

} // namespace

void attach_inserts(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, Structure& structure)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        const auto index = static_cast<int>(b);
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const Opening& opening = board.openings[o];
            if (opening.insert.kind == InsertPlan::Kind::None) continue;
            const std::string name = opening.insert.name.empty() ? opening.name : opening.insert.name;
            attach_insert(cabinet, mesh,
                          {opening, board, index, nodes.base(index, mesh.rims.at(b).at(o)), name,
                           std::min(opening.width, opening.height)},
                          structure);
        }
    }
}

} // namespace stillwall::solver::internal
