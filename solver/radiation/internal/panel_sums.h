#pragma once
// Integrals of the free-space Green's function and its derivatives over one panel, at one frequency.
//
// Time factor e^{+jωt}, G = e^{−jkr}/(4πr), R = x − y, r = |R|, a = R·n_x, b = R·n_y, c = n_x·n_y. With
//     h₁ = (1 + jkr) e^{−jkr}   and   h₂ = (3 + 3jkr − k²r²) e^{−jkr}
//
//     ∂G/∂n_y = h₁ b / (4πr³)     ∂²G/∂n_x∂n_y = [h₁ c − h₂ a b / r²] / (4πr³)

#include "solver/radiation/internal/static_integrals.h"

#include <complex>
#include <vector>

namespace stillwall::solver::internal {

using Complex = std::complex<double>;

/// Where an integral is taken: a point and the direction of the derivative there.
struct Observer
{
    Eigen::Vector3d point;
    Eigen::Vector3d normal; ///< any unit vector where no slope is wanted
};

/// Quadrature points by coordinates, so that eight of them fill SIMD registers. Weights hold the factor 1/4π [m²].
struct QuadraturePoints
{
    std::vector<double> x, y, z, weight;
};

/// Panels with two quadrature rules each.
///     coarse: 2 × 2 Gauss points (triangle 3 and an idle one), exact for cubics (quadratics), error (kh)⁴/4320 on a
///     plane wave; fine: 4 × 4 Gauss points (triangle: four parts of 3, and four idle ones).
struct PanelRules
{
    explicit PanelRules(const PanelSurface& surface);

    /// True where the coarse rule is not good enough for 1/r³: nearer than `near_diameters` diameters of the panel.
    [[nodiscard]] bool is_near(Eigen::Index panel, const Eigen::Vector3d& x) const;

    static constexpr double near_diameters = 3.1; // no tie on a grid of squares, where (3, 3) is 3 diameters off
    static constexpr int lanes = 8, n_coarse = 4, n_fine = 16;

    PanelSurface surface;
    /// Point q of panel j at (j / 8 · 4 + q) · 8 + j mod 8: eight panels side by side. Filled up to a multiple of eight
    /// panels.
    QuadraturePoints coarse;
    std::vector<double> normal_x, normal_y, normal_z; ///< filled up likewise
    QuadraturePoints fine;                            ///< point q of panel j at 16 j + q
};

/// A near panel of one row with its static integrals.
struct NearPanel
{
    int panel;
    StaticIntegrals at_rest;
};

/// One row of the integral operators: the integrals over each panel, named as in StaticIntegrals, summed over the
/// sources added.
struct OperatorRow
{
    Eigen::VectorXcd single_layer, double_layer, double_slope;

    void set_zero(Eigen::Index n_panels);
};

/// Panels near x with their static integrals, by rising number.
[[nodiscard]] std::vector<NearPanel> near_panels(const PanelRules& rules, const Observer& x);

/// Adds the panels' integrals to the row. Far panels by the coarse rule. Near panels: static part in closed form, plus
/// what k adds by the fine rule. That part is bounded but for the term (k²/8π)(c/r − ab/r³) of the last kernel; its c/r
/// is (k²/2) c times the static single layer, also in closed form, and ab = 0 within one plane.
void add_panels(const PanelRules& rules, const std::vector<NearPanel>& near, const Observer& x, double k,
                OperatorRow& row);

} // namespace stillwall::solver::internal
