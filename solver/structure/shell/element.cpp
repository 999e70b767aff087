#include "solver/structure/shell/element.h"

#include "solver/linalg/cross.h"

#include <Eigen/Dense>

#include <cmath>
#include <string>

namespace stillwall::solver {
namespace {

using Eigen::Matrix2d;
using Eigen::Matrix3Xd;
using Eigen::MatrixXd;
using Eigen::RowVectorXd;
using Eigen::Vector3d;
using Eigen::VectorXd;

/// Geometry of the surface at one point.
struct Surface
{
    Shape shape;
    Vector3d x_r, x_s;    ///< covariant base vectors [m]
    Vector3d V, V_r, V_s; ///< interpolated normal and its derivatives
};

Surface surface_at(const ElementFamily& family, const Matrix3Xd& X, const Matrix3Xd& V, double r, double s)
{
    Surface f;
    f.shape = family.shape(r, s);
    f.x_r = X * f.shape.N_r;
    f.x_s = X * f.shape.N_s;
    f.V = V * f.shape.N;
    f.V_r = V * f.shape.N_r;
    f.V_s = V * f.shape.N_s;
    return f;
}

/// Unit normals at the nodes.
Matrix3Xd nodal_normals(const ElementFamily& family, const Matrix3Xd& X)
{
    Matrix3Xd V(3, X.cols());
    for (Eigen::Index i = 0; i < X.cols(); ++i) {
        const auto& p = family.nodes[static_cast<std::size_t>(i)];
        const Shape f = family.shape(p.x(), p.y());
        const Vector3d n = (X * f.N_r).cross(X * f.N_s);
        if (!(n.norm() > 0)) throw DomainError("shell element without area at a node");
        V.col(i) = n.normalized();
    }
    // A re-entrant corner turns its normal round, which the integration points further in may not see.
    const Vector3d mean = V.rowwise().sum();
    if (!((mean.transpose() * V).minCoeff() > 0)) throw DomainError("shell element folded over at a node");
    return V;
}

/// Covariant rows of one component: [0] membrane or shear, [1] curvature (in-plane components only).
struct Rows
{
    RowVectorXd strain, curvature;
};

Rows direct_rows(const Surface& f, const Matrix3Xd& V, Component component)
{
    const auto n = V.cols();
    Rows rows{RowVectorXd::Zero(6 * n), RowVectorXd::Zero(6 * n)};
    // Adds x·u' to the strain and x·β' + V'·u' to the curvature, ' along one natural coordinate.
    const auto add_in_plane = [&](const Vector3d& x, const Vector3d& dV, const VectorXd& dN) {
        for (Eigen::Index i = 0; i < n; ++i) {
            rows.strain.segment<3>(6 * i) += dN[i] * x.transpose();
            rows.curvature.segment<3>(6 * i) += dN[i] * dV.transpose();
            rows.curvature.segment<3>(6 * i + 3) += dN[i] * V.col(i).cross(x).transpose();
        }
    };
    const auto add_shear = [&](const Vector3d& x, const VectorXd& dN) {
        for (Eigen::Index i = 0; i < n; ++i) {
            rows.strain.segment<3>(6 * i) += dN[i] * f.V.transpose();
            rows.strain.segment<3>(6 * i + 3) += f.shape.N[i] * V.col(i).cross(x).transpose();
        }
    };
    switch (component) {
    case Component::rr:
        add_in_plane(f.x_r, f.V_r, f.shape.N_r);
        break;
    case Component::ss:
        add_in_plane(f.x_s, f.V_s, f.shape.N_s);
        break;
    case Component::rs: // twice the tensor component
        add_in_plane(f.x_r, f.V_r, f.shape.N_s);
        add_in_plane(f.x_s, f.V_s, f.shape.N_r);
        break;
    case Component::rt:
        add_shear(f.x_r, f.shape.N_r);
        break;
    case Component::st:
        add_shear(f.x_s, f.shape.N_s);
        break;
    }
    return rows;
}

/// All five components, tied or direct, ready to be evaluated anywhere in the element.
class CovariantField
{
public:
    CovariantField(const ElementFamily& family, const Matrix3Xd& X, const Matrix3Xd& V) : family_(family), V_(V)
    {
        // On a flat element membrane and bending do not lock, and the in-plane ties would stiffen sides that are not
        // parallel.
        const bool is_flat = (V.colwise() - V.col(0)).norm() < 1e-9;
        for (int c = 0; c < 5; ++c) {
            const auto component = static_cast<Component>(c);
            const bool is_in_plane = component != Component::rt && component != Component::st;
            if (is_flat && is_in_plane) continue;
            for (const Tie& tie : family.of(component).ties)
                samples_[c].push_back(direct_rows(surface_at(family, X, V, tie.r, tie.s), V, tie.component));
        }
    }

    [[nodiscard]] Rows at(const Surface& f, Component component, double r, double s) const
    {
        const auto& samples = samples_[static_cast<int>(component)];
        if (samples.empty()) return direct_rows(f, V_, component);
        const VectorXd w = family_.of(component).weights(r, s);
        Rows rows{w[0] * samples[0].strain, w[0] * samples[0].curvature};
        for (Eigen::Index k = 1; k < w.size(); ++k) {
            rows.strain += w[k] * samples[static_cast<std::size_t>(k)].strain;
            rows.curvature += w[k] * samples[static_cast<std::size_t>(k)].curvature;
        }
        return rows;
    }

private:
    const ElementFamily& family_;
    const Matrix3Xd& V_;
    std::vector<Rows> samples_[5];
};

/// Orthonormal surface axes and the inverse of the map from natural coordinates to them.
struct LocalAxes
{
    Vector3d a1 = Vector3d::Zero(), a2 = a1, n = a1;
    Matrix2d T = Matrix2d::Zero(); ///< T(i, α) = g^i · a_α
    double area = 0;
};

LocalAxes local_axes(const Surface& f, const Vector3d& e1)
{
    LocalAxes axes;
    const Vector3d normal = f.x_r.cross(f.x_s);
    axes.area = normal.norm();
    axes.n = normal / axes.area;
    if (!(axes.area > 0) || !(axes.n.dot(f.V) > 0)) throw DomainError("shell element folded over or without area");
    const Vector3d projected = e1 - e1.dot(axes.n) * axes.n;
    if (!(projected.norm() > 1e-6 * e1.norm())) throw DomainError("section axis 1 is normal to a shell element");
    axes.a1 = projected.normalized();
    axes.a2 = axes.n.cross(axes.a1);
    Matrix2d J;
    J << f.x_r.dot(axes.a1), f.x_s.dot(axes.a1), f.x_r.dot(axes.a2), f.x_s.dot(axes.a2);
    axes.T = J.inverse();
    return axes;
}

/// Covariant (rr, ss, 2rs) → Cartesian (11, 22, 2·12).
Eigen::Matrix3d plane_transform(const Matrix2d& T)
{
    const double r1 = T(0, 0), r2 = T(0, 1), s1 = T(1, 0), s2 = T(1, 1);
    Eigen::Matrix3d P;
    P << r1 * r1, s1 * s1, r1 * s1, r2 * r2, s2 * s2, r2 * s2, 2 * r1 * r2, 2 * s1 * s2, r1 * s2 + s1 * r2;
    return P;
}

RowVectorXd drilling_row(const Surface& f, const LocalAxes& axes)
{
    const auto n = f.shape.N.size();
    RowVectorXd row = RowVectorXd::Zero(6 * n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const double d1 = axes.T(0, 0) * f.shape.N_r[i] + axes.T(1, 0) * f.shape.N_s[i];
        const double d2 = axes.T(0, 1) * f.shape.N_r[i] + axes.T(1, 1) * f.shape.N_s[i];
        row.segment<3>(6 * i) = -0.5 * (d1 * axes.a2 - d2 * axes.a1).transpose();
        row.segment<3>(6 * i + 3) = f.shape.N[i] * axes.n.transpose();
    }
    return row;
}

} // namespace

std::vector<StrainPoint> strain_points(const ElementFamily& family, const Matrix3Xd& X, const Vector3d& e1)
{
    if (X.cols() != static_cast<Eigen::Index>(family.nodes.size()))
        throw DomainError("shell element: expected " + std::to_string(family.nodes.size()) + " nodes, got " +
                          std::to_string(X.cols()));
    const Matrix3Xd V = nodal_normals(family, X);
    const CovariantField field(family, X, V);

    std::vector<StrainPoint> points;
    for (const QuadraturePoint& q : family.quadrature) {
        const Surface f = surface_at(family, X, V, q.r, q.s);
        const LocalAxes axes = local_axes(f, e1);
        const Rows rr = field.at(f, Component::rr, q.r, q.s), ss = field.at(f, Component::ss, q.r, q.s);
        const Rows rs = field.at(f, Component::rs, q.r, q.s), rt = field.at(f, Component::rt, q.r, q.s);
        const Rows st = field.at(f, Component::st, q.r, q.s);

        StrainPoint p;
        MatrixXd covariant(3, 6 * X.cols());
        p.B.resize(8, 6 * X.cols());
        const Eigen::Matrix3d P = plane_transform(axes.T);
        covariant << rr.strain, ss.strain, rs.strain;
        p.B.topRows<3>() = P * covariant;
        covariant << rr.curvature, ss.curvature, rs.curvature;
        p.B.middleRows<3>(3) = P * covariant;
        p.B.row(6) = axes.T(0, 0) * rt.strain + axes.T(1, 0) * st.strain;
        p.B.row(7) = axes.T(0, 1) * rt.strain + axes.T(1, 1) * st.strain;
        p.drill = drilling_row(f, axes);
        p.N = f.shape.N;
        p.V = V;
        p.position = X * f.shape.N;
        p.normal = axes.n;
        p.weight = q.weight * axes.area;
        points.push_back(std::move(p));
    }
    return points;
}

namespace {

/// Adds one point's mass, node pair by node pair: N_i N_j times (m0 I, m1 coupling, m2 β·β, m2c drilling).
void add_mass(MatrixXd& M, const StrainPoint& p, const Section& section)
{
    const auto n = p.N.size();
    std::vector<Eigen::Matrix3d> cross(static_cast<std::size_t>(n)); // θ × V = cross · θ
    for (Eigen::Index i = 0; i < n; ++i) {
        cross[static_cast<std::size_t>(i)] = -cross_matrix(p.V.col(i));
    }
    const Eigen::Matrix3d drill = p.normal * p.normal.transpose();
    for (Eigen::Index j = 0; j < n; ++j)
        for (Eigen::Index i = 0; i < n; ++i) {
            const auto& Ci = cross[static_cast<std::size_t>(i)];
            const auto& Cj = cross[static_cast<std::size_t>(j)];
            const double w = p.weight * p.N[i] * p.N[j];
            M.block<3, 3>(6 * i, 6 * j).diagonal().array() += w * section.mass;
            M.block<3, 3>(6 * i, 6 * j + 3) += w * section.mass_moment * Cj;
            M.block<3, 3>(6 * i + 3, 6 * j) += w * section.mass_moment * Ci.transpose();
            M.block<3, 3>(6 * i + 3, 6 * j + 3) +=
                w * (section.mass_inertia * (Ci.transpose() * Cj) + section.spin_inertia() * drill);
        }
}

} // namespace

ElementMatrices element_matrices(const std::vector<StrainPoint>& points, const Section& section)
{
    const auto n = points.front().B.cols();
    ElementMatrices e{MatrixXd::Zero(n, n), MatrixXd::Zero(n, n)};
    const double k_drill = drilling_factor * section.G12_mean * section.thickness;
    for (const StrainPoint& p : points) {
        const Eigen::Matrix<double, 8, Eigen::Dynamic> CB = p.weight * section.C * p.B;
        e.K.noalias() += p.B.transpose() * CB;
        e.K.noalias() += p.weight * k_drill * p.drill.transpose() * p.drill;
        add_mass(e.M, p, section);
    }
    return e;
}

} // namespace stillwall::solver
