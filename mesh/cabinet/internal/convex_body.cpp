#include "mesh/cabinet/internal/convex_body.h"

#include "mesh/cabinet/polygon_notch.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

/// The point nearest to the origin of the hull of at most five points, which are thinned to those that carry it.
Vector3d nearest_to_origin(std::vector<Vector3d>& points)
{
    std::vector<Vector3d> best;
    Vector3d nearest = Vector3d::Constant(1e9);
    for (unsigned subset = 1; subset < (1U << points.size()); ++subset) {
        std::vector<Vector3d> some;
        for (std::size_t i = 0; i < points.size(); ++i)
            if (subset >> i & 1U) some.push_back(points[i]);
        if (some.size() > 4) continue;
        // The nearest point p₀ + D a of the flat through them; it counts when it lies among them.
        const auto k = static_cast<Eigen::Index>(some.size()) - 1;
        Eigen::MatrixXd D(3, k);
        for (Eigen::Index i = 0; i < k; ++i) D.col(i) = some[static_cast<std::size_t>(i) + 1] - some.front();
        Eigen::VectorXd a = Eigen::VectorXd::Zero(k);
        if (k > 0) a = D.colPivHouseholderQr().solve(-some.front());
        constexpr double round_off = 1e-9;
        if (k > 0 && (a.minCoeff() < -round_off || a.sum() > 1 + round_off)) continue;
        const Vector3d x = some.front() + D * a;
        if (x.norm() >= nearest.norm()) continue;
        nearest = x;
        best = std::move(some);
    }
    points = std::move(best);
    return nearest;
}

} // namespace

Vector3d ConvexBody::farthest(const Vector3d& direction) const
{
    const Vector3d* best = &front.front();
    for (const std::vector<Vector3d>* ring : {&front, &rear})
        for (const Vector3d& p : *ring)
            if (direction.dot(p) > direction.dot(*best)) best = &p;
    return *best;
}

ConvexBody moved(const ConvexBody& body, const Vector3d& by)
{
    ConvexBody copy = body;
    for (std::vector<Vector3d>* ring : {&copy.front, &copy.rear})
        for (Vector3d& p : *ring) p += by;
    return copy;
}

ConvexBody bar_body(const Vector3d& from, const Vector3d& to, const Vector3d& across, const Polygon& corners)
{
    const Vector3d other = (to - from).cross(across).normalized();
    ConvexBody body;
    for (const Vector2d& c : corners) {
        const Vector3d off = c.x() * across + c.y() * other;
        body.front.push_back(from + off);
        body.rear.push_back(to + off);
    }
    return body;
}

Polygon round_section(double radius, int n)
{
    const double turn = 2 * std::numbers::pi / n, corner = radius / std::cos(turn / 2);
    Polygon ring;
    for (int i = 0; i < n; ++i) ring.push_back(corner * Vector2d(std::cos(i * turn), std::sin(i * turn)));
    return ring;
}

bool share_room(const ConvexBody& a, const ConvexBody& b)
{
    constexpr double touching = 1e-4; // [m]
    constexpr int most_steps = 100;
    std::vector<Vector3d> corners{a.front.front() - b.front.front()};
    Vector3d x = corners.front();
    for (int step = 0; step < most_steps && x.norm() > touching; ++step) {
        const Vector3d w = a.farthest(-x) - b.farthest(x);
        if (x.dot(w) > touching * x.norm()) return false; // the plane square to x parts them
        corners.push_back(w);
        x = nearest_to_origin(corners);
    }
    return true;
}

Polygon footprint(const ConvexBody& body, const Frame& frame, double low, double high)
{
    Polygon points;
    const auto take_edge = [&](const Vector3d& a, const Vector3d& b) {
        const double ha = frame.height_of(a), hb = frame.height_of(b);
        if (ha >= low && ha <= high) points.push_back(frame.to_board(a));
        for (const double level : {low, high}) {
            if ((ha - level) * (hb - level) >= 0) continue;
            points.push_back(frame.to_board(a + (level - ha) / (hb - ha) * (b - a)));
        }
    };
    const std::size_t n = body.front.size();
    for (std::size_t i = 0; i < n; ++i) {
        take_edge(body.front[i], body.front[(i + 1) % n]);
        take_edge(body.rear[i], body.rear[(i + 1) % n]);
        take_edge(body.front[i], body.rear[i]);
    }
    return points.size() < 3 ? Polygon{} : convex_hull(std::move(points));
}

} // namespace stillwall
