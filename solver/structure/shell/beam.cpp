#include "solver/structure/shell/beam.h"

#include "mesh/cabinet/error.h"
#include "mesh/core/line3.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using Eigen::Matrix3d;
using Eigen::Vector3d;

BarSection rectangle_bar(double width, double height, double E, double G, double rho)
{
    if (!(width > 0 && height > 0 && E > 0 && G > 0 && rho > 0))
        throw DomainError("bar: width, height, moduli and density must be > 0");
    const double a = std::max(width, height), b = std::min(width, height);
    const double J = a * b * b * b * (1.0 / 3 - 0.21 * b / a * (1 - std::pow(b / a, 4) / 12));
    return {E, G, rho, width * height, width * std::pow(height, 3) / 12, height * std::pow(width, 3) / 12, J};
}

BarSection round_bar(double diameter, double E, double G, double rho)
{
    if (!(diameter > 0 && E > 0 && G > 0 && rho > 0))
        throw DomainError("bar: diameter, moduli and density must be > 0");
    const double I = std::numbers::pi * std::pow(diameter, 4) / 64;
    return {E, G, rho, std::numbers::pi * diameter * diameter / 4, I, I, 2 * I, 0.9};
}

namespace {

using Row = Eigen::Matrix<double, 1, 18>;

struct BarShape
{
    Vector3d N, dN; ///< shape functions and their derivatives along the bar [1/m]
};

BarShape bar_shape(double r, double length)
{
    const Line3 line(r);
    return {Vector3d(line.L.data()), Vector3d(line.D.data()) * 2 / length};
}

/// u of the axis (or its derivative) projected on d: Σ f_i d·(u_i + θ_i × offset).
Row axis_row(const Vector3d& f, const Vector3d& d, const Vector3d& offset)
{
    Row row;
    for (int i = 0; i < 3; ++i) {
        row.segment<3>(6 * i) = f[i] * d.transpose();
        row.segment<3>(6 * i + 3) = f[i] * offset.cross(d).transpose();
    }
    return row;
}

Row rotation_row(const Vector3d& f, const Vector3d& d)
{
    Row row = Row::Zero();
    for (int i = 0; i < 3; ++i) row.segment<3>(6 * i + 3) = f[i] * d.transpose();
    return row;
}

} // namespace

BarMatrices bar_matrices(const BarSection& section, const Matrix3d& X, const Vector3d& n_hint, const Vector3d& offset)
{
    const double length = (X.col(2) - X.col(0)).norm();
    if (!(length > 0)) throw DomainError("bar element without length");
    const Vector3d t = (X.col(2) - X.col(0)) / length;
    const Vector3d n = (n_hint - n_hint.dot(t) * t).normalized(), b = n.cross(t);
    const auto add = [](Eigen::Matrix<double, 18, 18>& A, double w, const Row& row) { A += w * row.transpose() * row; };

    BarMatrices m{Eigen::Matrix<double, 18, 18>::Zero(), Eigen::Matrix<double, 18, 18>::Zero()};
    for (double r : {-1 / std::sqrt(3.0), 1 / std::sqrt(3.0)}) {
        const auto [N, dN] = bar_shape(r, length);
        const double w = length / 2;
        add(m.K, w * section.E * section.area, axis_row(dN, t, offset));
        add(m.K, w * section.E * section.I_b, rotation_row(dN, b));
        add(m.K, w * section.E * section.I_n, rotation_row(dN, n));
        add(m.K, w * section.G * section.J, rotation_row(dN, t));
        const double GA = section.shear * section.G * section.area;
        add(m.K, w * GA, axis_row(dN, n, offset) + rotation_row(N, b));
        add(m.K, w * GA, axis_row(dN, b, offset) - rotation_row(N, n));
    }
    for (std::size_t g = 0; g < gauss_x.size(); ++g) {
        const double w = gauss_w[g] * length / 2 * section.rho;
        const Vector3d N = bar_shape(gauss_x[g], length).N;
        for (const Vector3d& d : {t, n, b}) add(m.M, w * section.area, axis_row(N, d, offset));
        add(m.M, w * section.I_b, rotation_row(N, b));
        add(m.M, w * section.I_n, rotation_row(N, n));
        add(m.M, w * (section.I_b + section.I_n), rotation_row(N, t));
    }
    return m;
}

Eigen::MatrixXd edge_shear(double k, const Matrix3d& X, const Vector3d& n)
{
    const double length = (X.col(2) - X.col(0)).norm();
    if (!(length > 0)) throw DomainError("junction side without length");
    const Vector3d t = (X.col(2) - X.col(0)) / length;
    Eigen::MatrixXd K = Eigen::MatrixXd::Zero(18, 18);
    for (double r : {-1 / std::sqrt(3.0), 1 / std::sqrt(3.0)}) {
        const auto [N, dN] = bar_shape(r, length);
        const Row row = axis_row(dN, n, Vector3d::Zero()) + rotation_row(N, n.cross(t));
        K += k * length / 2 * row.transpose() * row;
    }
    return K;
}

} // namespace stillwall::solver
