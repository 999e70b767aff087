#include "solver/radiation/internal/panel_sums.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

using Eigen::Index;
using Eigen::Vector3d;

namespace {

constexpr double scale = 1 / (4 * std::numbers::pi);

/// Gauss rule of n × n points on a quadrilateral by the bilinear map.
void add_quadrilateral(const Panel& panel, std::span<const double> abscissas, std::span<const double> weights,
                       std::vector<QuadraturePoint>& out)
{
    const auto& c = panel.corners;
    const Vector3d middle = 0.25 * (c[0] + c[1] + c[2] + c[3]);
    const Vector3d by_xi = 0.25 * (-c[0] + c[1] + c[2] - c[3]);
    const Vector3d by_eta = 0.25 * (-c[0] - c[1] + c[2] + c[3]);
    const Vector3d by_both = 0.25 * (c[0] - c[1] + c[2] - c[3]);
    for (std::size_t i = 0; i < abscissas.size(); ++i) {
        for (std::size_t j = 0; j < abscissas.size(); ++j) {
            const double xi = abscissas[i], eta = abscissas[j];
            const Vector3d tangent_xi = by_xi + eta * by_both, tangent_eta = by_eta + xi * by_both;
            const double jacobian = panel.normal.dot(tangent_xi.cross(tangent_eta));
            out.push_back({middle + xi * by_xi + eta * by_eta + xi * eta * by_both, weights[i] * weights[j] * jacobian});
        }
    }
}

/// Three interior points, exact for quadratics.
void add_triangle(const Vector3d& a, const Vector3d& b, const Vector3d& c, double area, std::vector<QuadraturePoint>& out)
{
    out.push_back({(4 * a + b + c) / 6, area / 3});
    out.push_back({(a + 4 * b + c) / 6, area / 3});
    out.push_back({(a + b + 4 * c) / 6, area / 3});
}

void add_coarse(const Panel& panel, std::vector<QuadraturePoint>& out)
{
    static const std::array abscissas{-std::sqrt(1.0 / 3), std::sqrt(1.0 / 3)};
    static constexpr std::array weights{1.0, 1.0};
    const auto& c = panel.corners;
    if (panel.n_corners == 4) add_quadrilateral(panel, abscissas, weights, out);
    else add_triangle(c[0], c[1], c[2], panel.area, out);
}

void add_fine(const Panel& panel, std::vector<QuadraturePoint>& out)
{
    static const double inner = std::sqrt(3.0 / 7 - 2.0 / 7 * std::sqrt(6.0 / 5));
    static const double outer = std::sqrt(3.0 / 7 + 2.0 / 7 * std::sqrt(6.0 / 5));
    static const double w_inner = (18 + std::sqrt(30.0)) / 36, w_outer = (18 - std::sqrt(30.0)) / 36;
    static const std::array abscissas{-outer, -inner, inner, outer};
    static const std::array weights{w_outer, w_inner, w_inner, w_outer};
    if (panel.n_corners == 4) {
        add_quadrilateral(panel, abscissas, weights, out);
        return;
    }
    const auto& c = panel.corners;
    const Vector3d ab = (c[0] + c[1]) / 2, bc = (c[1] + c[2]) / 2, ca = (c[2] + c[0]) / 2;
    add_triangle(c[0], ab, ca, panel.area / 4, out);
    add_triangle(c[1], bc, ab, panel.area / 4, out);
    add_triangle(c[2], ca, bc, panel.area / 4, out);
    add_triangle(ab, bc, ca, panel.area / 4, out);
}

/// What k adds to the static kernels, without cancellation: x = kr.
struct Remainders
{
    Complex g;  ///< e^{−jx} − 1
    Complex h1; ///< (1 + jx) e^{−jx} − 1 − x²/2
    Complex h2; ///< (3 + 3jx − x²) e^{−jx} − 3 − x²/2
};

Remainders remainders(double x)
{
    const double s = std::sin(x), c = std::cos(x), half = std::sin(x / 2);
    Remainders result;
    result.g = {-2 * half * half, -s};
    if (x > 1) {
        result.h1 = Complex(1, x) * Complex(c, -s) - 1.0 - x * x / 2;
        result.h2 = Complex(3 - x * x, 3 * x) * Complex(c, -s) - 3.0 - x * x / 2;
        return result;
    }
    // Taylor terms (−j)ⁿ xⁿ/n! times (1 − n) and (n − 1)(n − 3); 1/18! is below the round-off.
    Complex term = Complex(0, x * x * x / 6);
    for (int n = 3; n < 18; ++n) {
        result.h1 += term * double(1 - n);
        result.h2 += term * double((n - 1) * (n - 3));
        term *= Complex(0, -x / (n + 1));
    }
    return result;
}

} // namespace

PanelRules::PanelRules(const PanelSurface& s) : surface(s), coarse_start{0}, fine_start{0}
{
    for (const Panel& panel : surface.panels) {
        add_coarse(panel, coarse_points);
        add_fine(panel, fine_points);
        coarse_start.push_back(coarse_points.size());
        fine_start.push_back(fine_points.size());
    }
}

std::span<const QuadraturePoint> PanelRules::coarse(Index panel) const
{
    return std::span(coarse_points).subspan(coarse_start[panel], coarse_start[panel + 1] - coarse_start[panel]);
}

std::span<const QuadraturePoint> PanelRules::fine(Index panel) const
{
    return std::span(fine_points).subspan(fine_start[panel], fine_start[panel + 1] - fine_start[panel]);
}

bool PanelRules::is_near(Index panel, const Vector3d& x) const
{
    const Panel& p = surface.panels[panel];
    const double limit = near_diameters * p.diameter;
    return (x - p.centroid).squaredNorm() < limit * limit;
}

PanelSums far_sums(std::span<const QuadraturePoint> points, const Vector3d& n_y, const Observer& x, double k)
{
    PanelSums sums;
    const double c = x.normal.dot(n_y);
    for (const QuadraturePoint& q : points) {
        const Vector3d R = x.point - q.point;
        const double r2 = R.squaredNorm(), r = std::sqrt(r2), kr = k * r;
        const double a = R.dot(x.normal), b = R.dot(n_y), w = scale * q.weight / r, w3 = w / r2;
        const double cosine = std::cos(kr), sine = std::sin(kr);
        const double h1_re = cosine + kr * sine, h1_im = kr * cosine - sine;
        const double h2_re = 3 * h1_re - kr * kr * cosine, h2_im = 3 * h1_im + kr * kr * sine;
        const double ab = a * b / r2;
        sums.single_layer += Complex(w * cosine, -w * sine);
        sums.double_layer += Complex(w3 * b * h1_re, w3 * b * h1_im);
        sums.double_slope += Complex(w3 * (c * h1_re - ab * h2_re), w3 * (c * h1_im - ab * h2_im));
    }
    return sums;
}

PanelSums near_sums(std::span<const QuadraturePoint> points, const Panel& panel, const StaticIntegrals& at_rest,
                    const Observer& x, double k)
{
    const double c = x.normal.dot(panel.normal);
    PanelSums sums{at_rest.single_layer, at_rest.double_layer,
                   at_rest.double_slope + k * k / 2 * c * at_rest.single_layer};
    for (const QuadraturePoint& q : points) {
        const Vector3d R = x.point - q.point;
        const double r2 = R.squaredNorm(), r = std::sqrt(r2), half = k * k * r2 / 2;
        const double a = R.dot(x.normal), b = R.dot(panel.normal), w = scale * q.weight / r, w3 = w / r2;
        const Remainders k_part = remainders(k * r);
        sums.single_layer += w * k_part.g;
        sums.double_layer += w3 * b * (k_part.h1 + half);
        sums.double_slope += w3 * (c * k_part.h1 - a * b / r2 * (k_part.h2 + half));
    }
    return sums;
}

} // namespace stillwall::solver::internal
