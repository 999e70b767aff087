#pragma once
// A cabinet with shapes like those of its modes, for tests and the benchmark of modal radiation.

#include "solver/radiation/modal_radiation.h"
#include "tests/solver/radiation_fixture.h"

#include <cmath>
#include <numbers>
#include <random>

namespace stillwall::test {

inline const Vector3d cabinet_size(0.22, 0.38, 0.30); ///< [m]

/// sin sin on each side with 1 … m by 1 … n half waves, the six sides of each kind mixed like the walls of a cabinet's
/// mode; then a disc of 130 mm in the side x+, and the six sides moving as one outward.
inline solver::RadiatingLevel cabinet_level(const std::array<int, 3>& panels, int m, int n, double f_top)
{
    const solver::PanelSurface surface = box(cabinet_size, panels);
    std::mt19937 random(3);
    std::normal_distribution<double> normal;
    Eigen::MatrixXd S = Eigen::MatrixXd::Zero(surface.size(), 6 * m * n + 2);
    for (int kind = 0; kind < m * n; ++kind) {
        const Eigen::MatrixXd mix = Eigen::MatrixXd::NullaryExpr(6, 6, [&] { return normal(random); });
        for (Eigen::Index i = 0; i < surface.size(); ++i) {
            const solver::Panel& panel = surface.panels[i];
            Eigen::Index w = 0;
            panel.normal.cwiseAbs().maxCoeff(&w);
            const Eigen::Index u = (w + 1) % 3, v = (w + 2) % 3;
            const double s = std::sin((1 + kind % m) * std::numbers::pi * panel.centroid[u] / cabinet_size[u]) *
                             std::sin((1 + kind / m) * std::numbers::pi * panel.centroid[v] / cabinet_size[v]);
            S.block(i, 6 * kind, 1, 6) = s * mix.row(2 * w + (panel.normal[w] > 0 ? 1 : 0));
        }
    }
    for (Eigen::Index i = 0; i < surface.size(); ++i) {
        const solver::Panel& panel = surface.panels[i];
        const double r = std::hypot(panel.centroid.y() - 0.14, panel.centroid.z() - 0.15);
        S(i, 6 * m * n) = panel.normal.x() > 0.5 && r < 0.065 ? 1 : 0;
        S(i, 6 * m * n + 1) = 1;
    }
    return {surface, S, f_top};
}

} // namespace stillwall::test
