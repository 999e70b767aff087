#include "mesh/cabinet/curved.h"

#include "mesh/cabinet/internal/curved_walls.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {

Vector3d on_mid_surfaces(const Cabinet& cabinet, const Vector3d& point, std::span<const int> boards)
{
    const auto is_curved = [&](int b) { return cabinet.board(b).frame.is_curved(); };
    if (std::none_of(boards.begin(), boards.end(), is_curved)) return point;
    // Where a curved board goes on smoothly into a flat one both want almost the same; the damping keeps the point from
    // sliding along the line on which they touch.
    constexpr double damping = 1e-4;
    constexpr int steps = 8;
    const auto n = static_cast<Eigen::Index>(boards.size());
    Vector3d x = point;
    Eigen::MatrixX3d J(n, 3);
    Eigen::VectorXd gap(n);
    for (int step = 0; step < steps; ++step) {
        for (Eigen::Index i = 0; i < n; ++i) {
            const Frame& frame = cabinet.board(boards[static_cast<std::size_t>(i)]).frame;
            J.row(i) = frame.touching(x).n.transpose();
            gap[i] = frame.is_curved() ? frame.height_of(x) : J.row(i).dot(x - point);
        }
        const Eigen::MatrixXd A = J * J.transpose() + damping * Eigen::MatrixXd::Identity(n, n);
        x -= J.transpose() * A.ldlt().solve(gap);
    }
    return x;
}

std::vector<Vector2d> arc_extremes(const Vector2d& from, const Vector2d& to, double bulge)
{
    const Arc arc = arc_over(from, to, bulge);
    std::vector<Vector2d> points;
    for (int quarter = 0; quarter < 4; ++quarter) {
        double share = std::remainder(quarter * std::numbers::pi / 2 - arc.start, 2 * std::numbers::pi) / arc.turn;
        if (share < 0) share += 2 * std::numbers::pi / std::abs(arc.turn);
        if (share > 0 && share < 1) points.push_back(arc.at(share));
    }
    return points;
}

} // namespace stillwall
