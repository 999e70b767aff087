#include "mesh/cabinet/opening.h"
#include "solver/structure/internal/attachments.h"
#include "solver/structure/internal/driver_bodies.h"
#include "solver/structure/internal/points.h"
#include "solver/structure/internal/seat.h"
#include "solver/structure/shell/beam.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::RowVectorXd;
using Eigen::Vector3d;
using Kind = Attachment::Kind;
using Matrix6d = Eigen::Matrix<double, 6, 6>;

/// Ties two bodies by springs between their motions at one point of the axis.
/// @param K  shape (6, 6)
void tie(const Seat& seat, Attachment spring, const Body& from, const Body& to, double depth, const MatrixXd& K,
         Structure& structure)
{
    spring.nodes = from.nodes;
    spring.nodes.insert(spring.nodes.end(), to.nodes.begin(), to.nodes.end());
    MatrixXd gap(6, from.motion.cols() + to.motion.cols());
    gap << -from.motion_at(seat, depth), to.motion_at(seat, depth);
    spring.K = gap.transpose() * K * gap;
    structure.attachments.push_back(std::move(spring));
}

/// Springs along and across an axis [N/m], turning about it and about lines across it [N·m].
MatrixXd springs(const Vector3d& axis, double k_along, double k_across, double k_twist, double k_rock)
{
    const Matrix3d along = axis * axis.transpose(), across = Matrix3d::Identity() - along;
    MatrixXd K = MatrixXd::Zero(6, 6);
    K.topLeftCorner<3, 3>() = k_along * along + k_across * across;
    K.bottomRightCorner<3, 3>() = k_twist * along + k_rock * across;
    return K;
}

/// A soft-mounted body, tied to the rim by the gasket's ring: k along the axis, a third of it across (rubber: G = E/3),
/// spread evenly round the rim's mean radius, so that rocking meets k r²/2 and turning in the plane k r²/3.
Body soft_mounted(const Seat& seat, const Body& rim, double depth, Structure& structure)
{
    const LossySpring& gasket = *seat.insert().mount;
    Body body = free_body(seat, depth, structure);
    const double k = gasket.stiffness.value, r = seat.width / 2;
    tie(seat, seat.spring(Kind::Mount, gasket.stiffness, gasket.loss), rim, body, 0,
        springs(seat.board.frame.n, k, k / 3, k * r * r / 3, k * r * r / 2), structure);
    return body;
}

/// A magnet pressed or tied to a board behind it: a spring along the driver's axis.
void tie_rear(const Cabinet& cabinet, const ShellMesh& mesh, const Seat& seat, const Body& body, Structure& structure)
{
    const RearTie& held = *seat.insert().rear_tie;
    const int other = cabinet.board_index(held.board).value();
    const Frame& frame = cabinet.board(other).frame;
    const Vector3d n = seat.board.frame.n, rear = seat.behind(held.depth);
    const Vector3d foot =
        rear - frame.height_of(rear) / frame.n.dot(n) * n; // where the axis meets the board's mid-plane
    const BoardPoint point = locate(cabinet, mesh, other, foot);
    Attachment spring = seat.spring(Kind::RearTie, held.spring.stiffness, held.spring.loss);
    spring.nodes = body.nodes;
    const auto nodes = nodes_at(structure, point);
    spring.nodes.insert(spring.nodes.end(), nodes.begin(), nodes.end());
    RowVectorXd gap(6 * spring.nodes.size());
    gap << n.transpose() * body.motion_at(seat, held.depth).topRows<3>(),
        -n.transpose() * motion_at(point).topRows<3>();
    spring.K = held.spring.stiffness.value * gap.transpose() * gap;
    structure.attachments.push_back(std::move(spring));
}

/// The rim's bars, one per side of the mesh round the hole, each made by `fill`.
template <class Fill> void along_rim(const Seat& seat, Structure& structure, const Attachment& model, const Fill& fill)
{
    for (std::size_t i = 0; i + 1 < seat.rim.size(); i += 2) {
        Attachment a = model;
        a.nodes = {seat.rim[i], seat.rim[i + 1], seat.rim[(i + 2) % seat.rim.size()]};
        fill(element_nodes(structure.nodes, a.nodes), a);
        structure.attachments.push_back(std::move(a));
    }
}

/// The frame as a ring with equal bending and torsion stiffness and no stretch of its own (E = 1 Pa carries I = EI).
void stiffen_rim(const Seat& seat, const Quantity& EI, Structure& structure)
{
    const BarSection ring{1, 1, 1e-12, 1e-6, EI.value, EI.value, EI.value, 1e-6};
    along_rim(seat, structure, seat.spring(Kind::Rim, EI, {}), [&](const Matrix3d& X, Attachment& a) {
        a.K = bar_matrices(ring, X, seat.board.frame.n, Vector3d::Zero()).K;
    });
}

/// How an attachment goes with the share of the mass along the rim.
void follow_share(Attachment& a, const Basket& basket, double slope)
{
    if (!(basket.rim_share.value > 0)) return;
    a.by_rim_share = slope;
    a.rim_share_range = relative_range(basket.rim_share);
}

/// The flange's mass as a thin line round the rim (no inertia of its own about it).
void load_rim(const Seat& seat, const DriverBodies& bodies, Structure& structure)
{
    double length = 0; // of the bars
    for (std::size_t i = 0; i + 1 < seat.rim.size(); i += 2)
        length += (structure.nodes.col(seat.rim[(i + 2) % seat.rim.size()]) - structure.nodes.col(seat.rim[i])).norm();
    const BarSection line{1, 1, bodies.rim_mass / length, 1, 0, 0, 0};
    Attachment model = seat.attachment(Kind::Insert);
    follow_share(model, *seat.insert().basket, 1);
    along_rim(seat, structure, model, [&](const Matrix3d& X, Attachment& a) {
        a.M = bar_matrices(line, X, seat.board.frame.n, Vector3d::Zero()).M;
    });
}

/// A rigid body's mass.
Attachment mass_of(const Seat& seat, const Body& body, double mass, double axial, double radial)
{
    Attachment a = seat.attachment(Kind::Insert);
    a.nodes = body.nodes;
    a.M = body.motion.transpose() * rigid_mass(mass, axial, radial, seat.board.frame.n) * body.motion;
    return a;
}

/// The motor on its basket's legs: springs along the axis and against rocking about the rim's middle; sideways and in
/// twist they hold it as if rigid (30 times the axial resonance: a thousandth of give).
Body hung_motor(const Seat& seat, const Body& flange, const DriverBodies& bodies, const ShareSlopes& slopes,
                Structure& structure)
{
    const Basket& basket = *seat.insert().basket;
    Body motor = free_body(seat, bodies.depth, structure);
    const auto add = [&](Kind kind, const Quantity& f_Hz, double slope, const MatrixXd& K) {
        const Quantity stiffness{f_Hz.value * f_Hz.value, f_Hz.low * f_Hz.low, f_Hz.high * f_Hz.high, {}, {}};
        Attachment legs = seat.spring(kind, stiffness, basket.loss);
        follow_share(legs, basket, slope);
        tie(seat, std::move(legs), flange, motor, 0, K, structure);
    };
    constexpr double rigid = 30 * 30;
    const Vector3d& axis = seat.board.frame.n;
    const double k = bodies.k_axial;
    add(Kind::Basket, basket.axial_Hz, slopes.mass, springs(axis, k, 0, 0, 0));
    add(Kind::BasketRocking, basket.rocking_Hz, slopes.mass, springs(axis, 0, rigid * k, 0, 0));
    add(Kind::BasketRocking, basket.rocking_Hz, slopes.axial,
        springs(axis, 0, 0, rigid * k * bodies.axial / bodies.mass, 0));
    add(Kind::BasketRocking, basket.rocking_Hz, slopes.radial, springs(axis, 0, 0, 0, bodies.k_rock));
    return motor;
}

/// The motor's mass by what goes with one figure each: m, m d (which the share leaves as it is) and both inertias about
/// the rim's middle.
void load_motor(const Seat& seat, const Body& motor, const DriverBodies& bodies, const ShareSlopes& slopes,
                Structure& structure)
{
    const Vector3d& axis = seat.board.frame.n;
    const Matrix3d along = axis * axis.transpose(), across = Matrix3d::Identity() - along;
    const MatrixXd T = motor.motion_at(seat, 0);
    const auto add = [&](double slope, const Matrix6d& mass) {
        Attachment a = seat.attachment(Kind::Insert);
        a.nodes = motor.nodes;
        a.M = T.transpose() * mass * T;
        follow_share(a, *seat.insert().basket, slope);
        structure.attachments.push_back(std::move(a));
    };
    Matrix6d mass = Matrix6d::Zero(), moment = mass, twist = mass, rocking = mass;
    mass.topLeftCorner<3, 3>() = bodies.mass * Matrix3d::Identity();
    moment.topRightCorner<3, 3>() = bodies.mass * bodies.depth * cross_matrix(axis);
    moment.bottomLeftCorner<3, 3>() = moment.topRightCorner<3, 3>().transpose();
    twist.bottomRightCorner<3, 3>() = bodies.axial * along;
    rocking.bottomRightCorner<3, 3>() = bodies.rocking() * across;
    add(slopes.mass, mass);
    add(0, moment);
    add(slopes.axial, twist);
    add(slopes.radial, rocking);
}

struct FlangeAndMotor
{
    Body flange, motor; ///< the same where there is but one
    bool is_apart = false;
};

/// Flange, basket and motor.
FlangeAndMotor hung_driver(const Seat& seat, const Body& rim, const DriverBodies& bodies, double radius,
                           Structure& structure)
{
    const Basket& basket = *seat.insert().basket;
    Body flange = rim;
    if (seat.insert().mount) {
        flange = soft_mounted(seat, rim, 0, structure);
        const double axial = bodies.rim_mass * radius * radius;
        Attachment mass = mass_of(seat, flange, bodies.rim_mass, axial, axial / 2);
        follow_share(mass, basket, 1);
        structure.attachments.push_back(std::move(mass));
    } else {
        if (bodies.rim_mass > 0) load_rim(seat, bodies, structure);
        if (basket.rim_EI.value > 0) stiffen_rim(seat, basket.rim_EI, structure);
    }
    if (!(bodies.mass > 0)) return {flange, flange};
    const ShareSlopes slopes = share_slopes(seat.insert(), seat.width, radius);
    const Body motor = hung_motor(seat, flange, bodies, slopes, structure);
    load_motor(seat, motor, bodies, slopes, structure);
    return {flange, motor, true};
}

/// One rigid body, on the rim or on its gasket.
FlangeAndMotor rigid_insert(const Seat& seat, const Body& rim, const DriverBodies& bodies, Structure& structure)
{
    const InsertPlan& insert = seat.insert();
    const Body body = insert.mount ? soft_mounted(seat, rim, bodies.depth, structure)
                                   : Body{rim.nodes, rim.motion_at(seat, bodies.depth), bodies.depth};
    if (bodies.mass > 0) structure.attachments.push_back(mass_of(seat, body, bodies.mass, bodies.axial, bodies.radial));
    return {body, body};
}

RimTap tap_of(const Seat& seat, const FlangeAndMotor& bodies)
{
    RimTap tap{seat.name,
               seat.board_index,
               seat.insert().kind == InsertPlan::Kind::Driver,
               bodies.motor.nodes,
               {},
               {},
               seat.width,
               opening_area(seat.opening)};
    const auto along = [&](const Body& body) -> RowVectorXd {
        return seat.board.frame.n.transpose() * body.motion.topRows<3>();
    };
    tap.row = along(bodies.motor);
    if (!bodies.is_apart) return tap;
    const RowVectorXd motor = tap.row, flange = along(bodies.flange);
    tap.nodes.insert(tap.nodes.end(), bodies.flange.nodes.begin(), bodies.flange.nodes.end());
    tap.row.resize(motor.size() + flange.size());
    tap.row << motor, RowVectorXd::Zero(flange.size());
    tap.stretch.resize(tap.row.size());
    tap.stretch << motor, -flange;
    return tap;
}

void attach_insert(const Cabinet& cabinet, const ShellMesh& mesh, const Seat& seat, Structure& structure)
{
    const InsertPlan& insert = seat.insert();
    const Eigen::Matrix3Xd X = element_nodes(structure.nodes, seat.rim);
    const Eigen::VectorXd weights = rim_weights(X);
    const double radius = std::sqrt((X.colwise() - X * weights).colwise().squaredNorm().dot(weights));
    const DriverBodies bodies = bodies_of(insert, seat.width, radius);
    const Body rim{seat.rim, rim_motion(X, weights, seat.middle())};
    const FlangeAndMotor held =
        insert.basket ? hung_driver(seat, rim, bodies, radius, structure) : rigid_insert(seat, rim, bodies, structure);
    structure.taps.push_back(tap_of(seat, held));
    const bool has_ring = insert.basket && !insert.mount; // the basket's own, on the rim
    if (insert.rim_EI > 0 && !has_ring)
        stiffen_rim(seat, {insert.rim_EI, insert.rim_EI, insert.rim_EI, {}, {}}, structure);
    if (insert.rear_tie) tie_rear(cabinet, mesh, seat, held.motor, structure);
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
            const std::string name = insert_name(opening);
            attach_insert(cabinet, mesh,
                          {opening, board, index, nodes.base(index, mesh.rims.at(b).at(o)), name,
                           std::min(opening.width, opening.height)},
                          structure);
        }
    }
}

} // namespace stillwall::solver::internal
