#include "mesh/gmsh/internal/small_ring.h"

#include <numeric>
#include <utility>

namespace stillwall::mesh {

Patch fill_small_ring(const std::vector<Vector2d>& ring)
{
    Patch best;
    best.points = ring;
    best.n_boundary = static_cast<int>(ring.size());
    if (ring.size() == 4) {
        best.quads = {{0, 1, 2, 3}};
        return best;
    }
    double best_shape = -10;
    const auto consider = [&](std::vector<std::array<int, 4>> quads, const std::vector<Vector2d>& inner) {
        Patch trial;
        trial.points = ring;
        trial.n_boundary = 6;
        trial.points.insert(trial.points.end(), inner.begin(), inner.end());
        trial.quads = std::move(quads);
        smooth(trial);
        // Each inner node must be worth its elements.
        if (const double w = worst_shape(trial) - 0.1 * static_cast<double>(inner.size()); w > best_shape) {
            best_shape = w;
            best = std::move(trial);
        }
    };
    const Vector2d middle = std::accumulate(ring.begin(), ring.end(), Vector2d(Vector2d::Zero())) / 6;
    for (int k = 0; k < 3; ++k) consider({{k, k + 1, k + 2, k + 3}, {k + 3, (k + 4) % 6, (k + 5) % 6, k}}, {});
    if (best_shape > 0.8) return best;
    for (int k = 0; k < 2; ++k)
        consider({{6, k, k + 1, k + 2}, {6, k + 2, k + 3, (k + 4) % 6}, {6, (k + 4) % 6, (k + 5) % 6, k}}, {middle});
    for (int k = 0; k < 6; ++k) { // inner nodes 6 beside side 4–0, 7 beside side 1–3, counted from k
        const auto n = [k](int m) { return (k + m) % 6; };
        consider({{n(0), n(1), 7, 6}, {n(1), n(2), n(3), 7}, {n(3), n(4), 6, 7}, {n(4), n(5), n(0), 6}},
                 {(ring[n(0)] + ring[n(4)] + middle) / 3, (ring[n(1)] + ring[n(3)] + middle) / 3});
    }
    return best;
}

} // namespace stillwall::mesh
