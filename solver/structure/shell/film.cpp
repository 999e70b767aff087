#include "solver/structure/shell/film.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::RowVector3d;
using Eigen::Vector3d;

std::vector<FilmPoint> film_points(const std::vector<StrainPoint>& points, const Vector3d& e1, double z, double h)
{
    std::vector<FilmPoint> film;
    film.reserve(points.size());
    for (const StrainPoint& p : points) {
        const Index n = p.N.size();
        const Vector3d a1 = (e1 - e1.dot(p.normal) * p.normal).normalized(), a2 = p.normal.cross(a1);
        const std::array<Vector3d, 2> axes = {a1, a2};
        FilmPoint f;
        f.weight = p.weight;
        f.B.setZero(3, 12 * n);
        for (Index i = 0; i < n; ++i) {
            const Vector3d V = p.V.col(i);
            for (Index alpha = 0; alpha < 2; ++alpha) {
                const Vector3d& a = axes[static_cast<std::size_t>(alpha)];
                const RowVector3d beta = p.N[i] * V.cross(a).transpose(); // (θ × V)·a
                f.B.block<1, 3>(alpha, 6 * i) -= p.N[i] * a.transpose() / h;
                f.B.block<1, 3>(alpha, 6 * (n + i)) += p.N[i] * a.transpose() / h;
                f.B.block<1, 3>(alpha, 6 * i + 3) -= z / h * beta;
                f.B.block<1, 3>(alpha, 6 * (n + i) + 3) += (z + h) / h * beta;
                // ∂N/∂α, which the drilling row holds: −½ (∂₁N a₂ − ∂₂N a₁).
                const Vector3d curl = 2 * p.drill.segment<3>(6 * i).transpose();
                const RowVector3d slope = 0.5 * (alpha == 0 ? -curl.dot(a2) : curl.dot(a1)) * p.normal.transpose();
                f.B.block<1, 3>(alpha, 6 * i) += slope;
                f.B.block<1, 3>(alpha, 6 * (n + i)) += slope;
            }
            f.B.block<1, 3>(2, 6 * i) -= p.N[i] * p.normal.transpose() / h;
            f.B.block<1, 3>(2, 6 * (n + i)) += p.N[i] * p.normal.transpose() / h;
        }
        film.push_back(std::move(f));
    }
    return film;
}

Vector3d film_stiffness(double G, double nu, double h)
{
    constexpr double nearly_incompressible = 0.4995; // beyond, only the factor's conditioning would change
    const double bounded = std::min(nu, nearly_incompressible);
    return h * Vector3d(G, G, G * (2 - 2 * bounded) / (1 - 2 * bounded));
}

} // namespace stillwall::solver
