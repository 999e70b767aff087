#pragma once
// An insert in its opening, and the bodies it is made of.

#include "solver/linalg/cross.h"
#include "solver/structure/structure.h"

namespace stillwall::solver::internal {

/// Motion at a point of a rigid body, from its motion elsewhere: u(p) = u + θ × arm.
inline Eigen::Matrix<double, 6, 6> carried(const Vector3d& arm)
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
    /// Without matrices and nodes.
    [[nodiscard]] Attachment attachment(Attachment::Kind kind) const
    {
        return {kind, name, board_index, -1, 0, {}, {}, {}};
    }
    [[nodiscard]] Attachment spring(Attachment::Kind kind, const Quantity& stiffness, const Quantity& loss) const
    {
        return {kind, name, board_index, -1, loss.value, {}, {}, {}, relative_range(stiffness), loss};
    }
};

/// What moves as one, or the rim taken as if it did.
struct Body
{
    std::vector<int> nodes;
    Eigen::MatrixXd motion; ///< at `depth` on the axis, shape (6, 6 n_nodes)
    double depth = 0;

    [[nodiscard]] Eigen::MatrixXd motion_at(const Seat& seat, double other) const
    {
        return carried(seat.behind(other) - seat.behind(depth)) * motion;
    }
};

/// A body with a node of its own.
inline Body free_body(const Seat& seat, double depth, Structure& structure)
{
    const auto node = static_cast<int>(structure.nodes.cols());
    structure.nodes.conservativeResize(3, node + 1);
    structure.nodes.col(node) = seat.behind(depth);
    return {{node}, Eigen::MatrixXd::Identity(6, 6), depth};
}

} // namespace stillwall::solver::internal
