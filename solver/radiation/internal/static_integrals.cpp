#include "solver/radiation/internal/static_integrals.h"

#include <Eigen/Geometry>

#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

using Eigen::Vector3d;

namespace {

double triangle_solid_angle(const Vector3d& a, const Vector3d& b, const Vector3d& c)
{
    const double la = a.norm(), lb = b.norm(), lc = c.norm();
    const double volume = a.dot(b.cross(c));
    return 2 * std::atan2(volume, la * lb * lc + a.dot(b) * lc + a.dot(c) * lb + b.dot(c) * la);
}

} // namespace

double solid_angle(const Panel& panel, const Vector3d& x)
{
    const double z = panel.normal.dot(x - panel.centroid);
    if (std::abs(z) < 1e-9 * panel.diameter) return 0;
    const auto& c = panel.corners;
    const Vector3d first = x - c[0];
    double sum = 0;
    for (int i = 2; i < panel.n_corners; ++i) sum += triangle_solid_angle(first, x - c[i - 1], x - c[i]);
    return sum;
}

StaticIntegrals static_integrals(const Panel& panel, const Vector3d& x, const Vector3d& n_x)
{
    const double Omega = solid_angle(panel, x);
    const double z = panel.normal.dot(x - panel.centroid);
    double potential = -z * Omega;
    Vector3d rim = Vector3d::Zero();
    for (int i = 0; i < panel.n_corners; ++i) {
        const Vector3d& a = panel.corners[i];
        const Vector3d& b = panel.corners[(i + 1) % panel.n_corners];
        const Vector3d edge = b - a;
        const double l = edge.norm();
        const Vector3d u = edge.cross(panel.normal) / l;
        const Vector3d r1 = x - a, r2 = x - b;
        const double l1 = r1.norm(), l2 = r2.norm();
        const double f = std::log((l1 + l2 + l) / (l1 + l2 - l));
        potential -= u.dot(r1) * f;
        rim += (l1 + l2) / (l1 * l2 * (l1 * l2 + r1.dot(r2))) * r1.cross(r2);
    }
    constexpr double scale = 1 / (4 * std::numbers::pi);
    return {.single_layer = scale * potential, .double_layer = scale * Omega, .double_slope = -scale * n_x.dot(rim)};
}

} // namespace stillwall::solver::internal
