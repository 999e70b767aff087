#include "tests/published/shell_families.h"

#include <Eigen/Dense>

#include <cmath>

namespace stillwall::published {
namespace {

using Eigen::Matrix3d;
using Eigen::Matrix3Xd;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;
using solver::AssumedStrain;
using solver::Component;
using solver::ElementFamily;
using solver::Shape;
using solver::StrainPoint;

const std::vector<Vector2d> corners = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};

Shape bilinear(double r, double s)
{
    Shape f{VectorXd(4), VectorXd(4), VectorXd(4)};
    for (int i = 0; i < 4; ++i) {
        const auto& p = corners[static_cast<std::size_t>(i)];
        f.N[i] = (1 + p.x() * r) * (1 + p.y() * s) / 4;
        f.N_r[i] = p.x() * (1 + p.y() * s) / 4;
        f.N_s[i] = p.y() * (1 + p.x() * r) / 4;
    }
    return f;
}

Shape linear(double r, double s)
{
    return {Vector3d(1 - r - s, r, s), Vector3d(-1, 1, 0), Vector3d(-1, 0, 1)};
}

AssumedStrain mitc4(Component component)
{
    AssumedStrain a;
    if (component == Component::rt) {
        a.ties = {{component, 0, -1}, {component, 0, 1}};
        a.weights = [](double, double s) { return VectorXd(Vector2d((1 - s) / 2, (1 + s) / 2)); };
    } else if (component == Component::st) {
        a.ties = {{component, -1, 0}, {component, 1, 0}};
        a.weights = [](double r, double) { return VectorXd(Vector2d((1 - r) / 2, (1 + r) / 2)); };
    }
    return a;
}

// Lee & Bathe 2004 eqs. (23)-(25): γ_rt = γ1 + c s, γ_st = γ2 − c r, c = γ2 − γ1 − γ_st(3) + γ_rt(3), the points being
// the mid-sides 1 (½, 0), 2 (0, ½), 3 (½, ½).
AssumedStrain mitc3(Component component)
{
    AssumedStrain a;
    if (component != Component::rt && component != Component::st) return a;
    a.ties = {{Component::rt, 0.5, 0}, {Component::st, 0, 0.5}, {Component::st, 0.5, 0.5}, {Component::rt, 0.5, 0.5}};
    if (component == Component::rt)
        a.weights = [](double, double s) { return VectorXd(Eigen::Vector4d(1 - s, s, -s, s)); };
    else
        a.weights = [](double r, double) { return VectorXd(Eigen::Vector4d(r, 1 - r, r, -r)); };
    return a;
}

/// The map of the element's centre from natural coordinates to surface axes, for strains (11, 22, 2·12), times its
/// area: it keeps the patch test (Simo & Rifai 1990, eq. 3.17).
Matrix3d centre_map(const Matrix3Xd& X, const Vector3d& axis)
{
    const Shape f = bilinear(0, 0);
    const Vector3d x_r = X * f.N_r, x_s = X * f.N_s, normal = x_r.cross(x_s), n = normal.normalized();
    const Vector3d a1 = (axis - axis.dot(n) * n).normalized(), a2 = n.cross(a1);
    Eigen::Matrix2d J;
    J << x_r.dot(a1), x_s.dot(a1), x_r.dot(a2), x_s.dot(a2);
    const Eigen::Matrix2d T = J.inverse();
    const double r1 = T(0, 0), r2 = T(0, 1), s1 = T(1, 0), s2 = T(1, 1);
    Matrix3d P;
    P << r1 * r1, s1 * s1, r1 * s1, r2 * r2, s2 * s2, r2 * s2, 2 * r1 * r2, 2 * s1 * s2, r1 * s2 + s1 * r2;
    return normal.norm() * P;
}

/// What the enhanced membrane modes take off the stiffness of four nodes: K_ua K_aa⁻¹ K_uaᵀ.
MatrixXd enhanced_part(const std::vector<StrainPoint>& points, const Matrix3d& at_centre,
                       const solver::Section& section)
{
    MatrixXd K_ua = MatrixXd::Zero(points.front().B.cols(), 4), K_aa = MatrixXd::Zero(4, 4);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const StrainPoint& p = points[i];
        const solver::QuadraturePoint& q = four_nodes().quadrature[i];
        Eigen::Matrix<double, 3, 4> modes;
        modes << q.r, 0, 0, 0, 0, q.s, 0, 0, 0, 0, q.r, q.s;
        const Eigen::Matrix<double, 3, 4> E = q.weight / p.weight * at_centre * modes;
        K_ua.noalias() += p.weight * (section.C.topRows<3>() * p.B).transpose() * E;
        K_aa.noalias() += p.weight * E.transpose() * section.C.topLeftCorner<3, 3>() * E;
    }
    return K_ua * K_aa.ldlt().solve(K_ua.transpose());
}

} // namespace

const ElementFamily& three_nodes()
{
    static const ElementFamily family{
        {{0, 0}, {1, 0}, {0, 1}},
        linear,
        {{1.0 / 6, 1.0 / 6, 1.0 / 6}, {2.0 / 3, 1.0 / 6, 1.0 / 6}, {1.0 / 6, 2.0 / 3, 1.0 / 6}},
        solver::all_components(mitc3)};
    return family;
}

const ElementFamily& four_nodes()
{
    static const double g = 1 / std::sqrt(3.0);
    static const ElementFamily family{
        corners, bilinear, {{-g, -g, 1}, {g, -g, 1}, {-g, g, 1}, {g, g, 1}}, solver::all_components(mitc4)};
    return family;
}

std::string family_name(const ElementFamily& family)
{
    return std::to_string(family.nodes.size()) + " nodes";
}

solver::ElementMatrices shell_matrices(const ElementFamily& family, const Matrix3Xd& X, const Vector3d& axis,
                                       const solver::Section& section)
{
    const std::vector<StrainPoint> points = solver::strain_points(family, X, axis);
    solver::ElementMatrices e = solver::element_matrices(points, section);
    if (family.nodes.size() == 4) e.K -= enhanced_part(points, centre_map(X, axis), section);
    return e;
}

} // namespace stillwall::published
