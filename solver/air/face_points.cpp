#include "solver/air/face_points.h"

#include "mesh/core/line3.h"

#include <Eigen/Geometry>

#include <algorithm>

namespace stillwall::solver::internal {
namespace {

/// One orbit of the triangle's symmetries: barycentric coordinates a, b, c in every order; `weight` of a rule that sums
/// to 1.
void add_orbit(std::vector<TrianglePoint>& rule, double weight, double a, double b, double c)
{
    const auto add = [&](double r, double s) { rule.push_back({r, s, weight / 2}); };
    add(a, b), add(b, c), add(c, a);
    if (b != c) add(b, a), add(c, b), add(a, c);
}

std::array<TrianglePoint, 16> make_rule()
{
    std::vector<TrianglePoint> rule = {{1.0 / 3, 1.0 / 3, 0.144315607677787 / 2}};
    const auto equal = [&](double weight, double b) { add_orbit(rule, weight, 1 - 2 * b, b, b); };
    equal(0.095091634267285, 0.459292588292723);
    equal(0.103217370534718, 0.170569307751760);
    equal(0.032458497623198, 0.050547228317031);
    add_orbit(rule, 0.027230314174435, 0.263112829634638, 0.728492392955404, 1 - 0.263112829634638 - 0.728492392955404);
    std::array<TrianglePoint, 16> points;
    std::copy(rule.begin(), rule.end(), points.begin());
    return points;
}

/// Values and slopes of the six-node triangle at a point of the rule; corners 0, 1, 2 at the origin and on the axes.
struct Shape
{
    Tri6Values N, N_r, N_s; ///< N, ∂N/∂r, ∂N/∂s
    double weight;
};

Shape shape_at(const TrianglePoint& point)
{
    const Tri6Gradients slopes = tri6_gradients(point.r, point.s);
    return {tri6_values(point.r, point.s), slopes.col(0), slopes.col(1), point.weight};
}

const std::array<Shape, 16>& shapes()
{
    static const auto at_points = [] {
        std::array<Shape, 16> result;
        std::transform(triangle_rule_8().begin(), triangle_rule_8().end(), result.begin(), shape_at);
        return result;
    }();
    return at_points;
}

} // namespace

const std::array<TrianglePoint, 16>& triangle_rule_8()
{
    static const auto rule = make_rule();
    return rule;
}

std::array<FacePoint, 16> face_points(const AirMesh& mesh, const AirMesh::Face& face)
{
    Eigen::Matrix<double, 3, 6> X;
    for (int a = 0; a < 6; ++a) X.col(a) = mesh.nodes.col(face.node[static_cast<std::size_t>(a)]);
    std::array<FacePoint, 16> points;
    std::transform(shapes().begin(), shapes().end(), points.begin(), [&](const Shape& shape) {
        const Vector3d x_r = X * shape.N_r, x_s = X * shape.N_s;
        return FacePoint{X * shape.N, shape.weight * x_r.cross(x_s), shape.N};
    });
    return points;
}

std::vector<FacePoint> face_points(const OuterMesh& mesh, const OuterMesh::Face& face)
{
    const auto x = [&](std::size_t k) -> const Vector3d& {
        return mesh.vertices.at(static_cast<std::size_t>(face.corner[k]));
    };
    std::vector<FacePoint> points;
    if (face.corner[3] < 0) {
        const Vector3d twice = (x(1) - x(0)).cross(x(2) - x(0));
        for (const auto& [r, s, weight] : triangle_rule_8())
            points.push_back({.at = x(0) + r * (x(1) - x(0)) + s * (x(2) - x(0)), .dA = weight * twice});
        return points;
    }
    for (std::size_t j = 0; j < 3; ++j) {
        for (std::size_t i = 0; i < 3; ++i) {
            const double r = (1 + gauss_x[i]) / 2, s = (1 + gauss_x[j]) / 2;
            const Vector3d x_r = (1 - s) * (x(1) - x(0)) + s * (x(2) - x(3)),
                           x_s = (1 - r) * (x(3) - x(0)) + r * (x(2) - x(1));
            const Vector3d at = (1 - s) * ((1 - r) * x(0) + r * x(1)) + s * (r * x(2) + (1 - r) * x(3));
            points.push_back({.at = at, .dA = gauss_w[i] * gauss_w[j] / 4 * x_r.cross(x_s)});
        }
    }
    return points;
}

} // namespace stillwall::solver::internal
