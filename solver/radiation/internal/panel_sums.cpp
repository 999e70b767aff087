#include "solver/radiation/internal/panel_sums.h"

#include "solver/radiation/internal/wave_kernels.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <numbers>
#include <span>

namespace stillwall::solver::internal {

using Eigen::Index;
using Eigen::Vector3d;

namespace {

struct QuadraturePoint
{
    Vector3d point; ///< [m]
    double weight;  ///< [m²]
};

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
            out.push_back(
                {middle + xi * by_xi + eta * by_eta + xi * eta * by_both, weights[i] * weights[j] * jacobian});
        }
    }
}

/// Three interior points, exact for quadratics.
void add_triangle(const Vector3d& a, const Vector3d& b, const Vector3d& c, double area,
                  std::vector<QuadraturePoint>& out)
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
    if (panel.n_corners == 4)
        add_quadrilateral(panel, abscissas, weights, out);
    else
        add_triangle(c[0], c[1], c[2], panel.area, out);
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

/// Copies one panel's points to start, start + step…; idle ones get the first point and weight 0.
void store(const std::vector<QuadraturePoint>& points, std::size_t start, std::size_t step, int n,
           QuadraturePoints& out)
{
    for (int q = 0; q < n; ++q) {
        const bool is_idle = q >= static_cast<int>(points.size());
        const QuadraturePoint& p = points[is_idle ? 0 : q];
        const std::size_t place = start + q * step;
        out.x[place] = p.point.x();
        out.y[place] = p.point.y();
        out.z[place] = p.point.z();
        out.weight[place] = is_idle ? 0 : p.weight / (4 * std::numbers::pi);
    }
}

void resize(QuadraturePoints& points, std::size_t n)
{
    for (std::vector<double>* part : {&points.x, &points.y, &points.z, &points.weight}) part->resize(n);
}

} // namespace

PanelRules::PanelRules(const PanelSurface& s) : surface(s)
{
    const std::size_t n = surface.panels.size(), filled = (n + lanes - 1) / lanes * lanes;
    resize(coarse, filled * n_coarse);
    resize(fine, n * n_fine);
    for (std::vector<double>* part : {&normal_x, &normal_y, &normal_z}) part->resize(filled);
    std::vector<QuadraturePoint> points;
    for (std::size_t j = 0; j < filled; ++j) {
        const Panel& panel = surface.panels[std::min(j, n - 1)]; // the last one again in the idle lanes
        points.clear();
        add_coarse(panel, points);
        store(points, j / lanes * lanes * n_coarse + j % lanes, lanes, n_coarse, coarse);
        normal_x[j] = panel.normal.x();
        normal_y[j] = panel.normal.y();
        normal_z[j] = panel.normal.z();
        if (j >= n) continue;
        points.clear();
        add_fine(panel, points);
        store(points, j * n_fine, 1, n_fine, fine);
    }
}

bool PanelRules::is_near(Index panel, const Vector3d& x) const
{
    const Panel& p = surface.panels[panel];
    const double limit = near_diameters * p.diameter;
    return (x - p.centroid).squaredNorm() < limit * limit;
}

void OperatorRow::set_zero(Index n_panels)
{
    for (Eigen::VectorXcd* part : {&single_layer, &double_layer, &double_slope}) part->setZero(n_panels);
}

std::vector<NearPanel> near_panels(const PanelRules& rules, const Observer& x)
{
    std::vector<NearPanel> result;
    for (Index j = 0; j < rules.surface.size(); ++j) {
        if (rules.is_near(j, x.point))
            result.push_back({static_cast<int>(j), static_integrals(rules.surface.panels[j], x.point, x.normal)});
    }
    return result;
}

void add_panels(const PanelRules& rules, const std::vector<NearPanel>& near, const Observer& x, double k,
                OperatorRow& row)
{
    const Index n = rules.surface.size();
    const std::size_t n_blocks = rules.normal_x.size() / PanelRules::lanes;
    auto next = near.begin();
    for (std::size_t block = 0; block < n_blocks; ++block) {
        KernelSums sums;
        far_sums(rules, block, x, k, sums);
        for (int lane = 0; lane < PanelRules::lanes; ++lane) {
            const Index j = static_cast<Index>(block) * PanelRules::lanes + lane;
            if (j >= n) break;
            if (next != near.end() && next->panel == j) {
                ++next;
                continue;
            }
            row.single_layer[j] += Complex(sums.single_layer_re[lane], sums.single_layer_im[lane]);
            row.double_layer[j] += Complex(sums.double_layer_re[lane], sums.double_layer_im[lane]);
            row.double_slope[j] += Complex(sums.double_slope_re[lane], sums.double_slope_im[lane]);
        }
    }
    for (const NearPanel& panel : near) {
        const Index j = panel.panel;
        const StaticIntegrals& at_rest = panel.at_rest;
        KernelSums sums;
        near_sums(rules, j, x, k, sums);
        const auto total = [](const double* part) { return Eigen::Map<const Eigen::Matrix<double, 8, 1>>(part).sum(); };
        const double c = x.normal.dot(rules.surface.panels[j].normal);
        row.single_layer[j] += Complex(total(sums.single_layer_re) + at_rest.single_layer, total(sums.single_layer_im));
        row.double_layer[j] += Complex(total(sums.double_layer_re) + at_rest.double_layer, total(sums.double_layer_im));
        row.double_slope[j] +=
            Complex(total(sums.double_slope_re) + at_rest.double_slope + k * k / 2 * c * at_rest.single_layer,
                    total(sums.double_slope_im));
    }
}

} // namespace stillwall::solver::internal
