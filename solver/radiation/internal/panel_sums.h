#pragma once
// Integrals of the free-space Green's function and its derivatives over one panel, at one frequency.
//
// Time factor e^{+jωt}, G = e^{−jkr}/(4πr), R = x − y, r = |R|, a = R·n_x, b = R·n_y, c = n_x·n_y. With
//     h₁ = (1 + jkr) e^{−jkr}   and   h₂ = (3 + 3jkr − k²r²) e^{−jkr}
//
//     ∂G/∂n_y = h₁ b / (4πr³)     ∂²G/∂n_x∂n_y = [h₁ c − h₂ a b / r²] / (4πr³)

#include "solver/radiation/internal/static_integrals.h"

#include <complex>
#include <span>
#include <vector>

namespace stillwall::solver::internal {

using Complex = std::complex<double>;

/// Where an integral is taken: a point and the direction of the derivative there.
struct Observer
{
    Eigen::Vector3d point;
    Eigen::Vector3d normal; ///< any unit vector where no slope is wanted
};

/// The integrals over one panel at one frequency, named as in StaticIntegrals.
struct PanelSums
{
    Complex single_layer, double_layer, double_slope;
};

struct QuadraturePoint
{
    Eigen::Vector3d point; ///< [m]
    double weight;         ///< [m²]
};

/// Panels with two quadrature rules each.
struct PanelRules
{
    /// coarse: 2 × 2 Gauss points (triangle 3), exact for cubics (quadratics), error (kh)⁴/4320 on a plane wave;
    /// fine: 4 × 4 Gauss points (triangle: four parts of 3).
    explicit PanelRules(const PanelSurface& surface);

    [[nodiscard]] std::span<const QuadraturePoint> coarse(Eigen::Index panel) const;
    [[nodiscard]] std::span<const QuadraturePoint> fine(Eigen::Index panel) const;
    /// True where the coarse rule is not good enough for 1/r³: nearer than `near_diameters` diameters of the panel.
    [[nodiscard]] bool is_near(Eigen::Index panel, const Eigen::Vector3d& x) const;

    static constexpr double near_diameters = 3.1; // no tie on a grid of squares, where (3, 3) is 3 diameters off

    PanelSurface surface;
    std::vector<QuadraturePoint> coarse_points, fine_points;
    std::vector<std::size_t> coarse_start, fine_start;
};

/// By the coarse rule; for panels that are not near.
[[nodiscard]] PanelSums far_sums(std::span<const QuadraturePoint> points, const Eigen::Vector3d& n_y, const Observer& x,
                                 double k);

/// Static part in closed form, plus what k adds by the fine rule. That part is bounded but for the term
/// (k²/8π)(c/r − ab/r³) of the last kernel; its c/r is (k²/2) c times the static single layer, also in closed form, and ab = 0
/// within one plane.
[[nodiscard]] PanelSums near_sums(std::span<const QuadraturePoint> points, const Panel& panel, const StaticIntegrals& at_rest,
                                  const Observer& x, double k);

} // namespace stillwall::solver::internal
