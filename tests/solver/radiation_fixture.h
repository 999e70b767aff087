#pragma once
// Surfaces for the radiation tests: sphere of triangles, box of rectangles.

#include "solver/radiation/surface.h"

#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>
#include <vector>

namespace stillwall::test {

using Eigen::Vector3d;

/// Octahedron, each triangle cut into four `levels` times and blown up to a sphere: 8·4^levels triangles.
/// The radius of the corners is raised so that the panels have the sphere's area 4πa².
inline solver::PanelSurface sphere(double a, int levels)
{
    std::vector<Vector3d> x{{1, 0, 0}, {0, 1, 0}, {-1, 0, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}};
    std::vector<solver::PanelCorners> faces{{0, 1, 4, -1}, {1, 2, 4, -1}, {2, 3, 4, -1}, {3, 0, 4, -1},
                                            {1, 0, 5, -1}, {2, 1, 5, -1}, {3, 2, 5, -1}, {0, 3, 5, -1}};
    for (int level = 0; level < levels; ++level) {
        std::map<std::pair<int, int>, int> middles;
        const auto middle = [&](int i, int j) {
            const auto [place, is_new] = middles.try_emplace(std::minmax(i, j), static_cast<int>(x.size()));
            if (is_new) x.push_back((x[i] + x[j]).normalized());
            return place->second;
        };
        std::vector<solver::PanelCorners> finer;
        for (const auto& [i, j, k, none] : faces) {
            const int ij = middle(i, j), jk = middle(j, k), ki = middle(k, i);
            finer.insert(finer.end(), {{i, ij, ki, none}, {j, jk, ij, none}, {k, ki, jk, none}, {ij, jk, ki, none}});
        }
        faces = finer;
    }
    const double area = areas(solver::make_panel_surface(x, faces)).sum();
    for (Vector3d& corner : x) corner *= a * std::sqrt(4 * std::numbers::pi / area);
    return solver::make_panel_surface(x, faces);
}

/// Box [0, size] of rectangles, n panels along each axis; sides in the order x−, x+, y−, y+, z−, z+.
inline solver::PanelSurface box(const Vector3d& size, const std::array<int, 3>& n)
{
    std::vector<Vector3d> x;
    std::vector<solver::PanelCorners> faces;
    for (int side = 0; side < 6; ++side) {
        const int w = side / 2, u = (w + 1) % 3, v = (w + 2) % 3;
        const bool is_far = side % 2 == 1;
        const int start = static_cast<int>(x.size());
        for (int i = 0; i <= n[u]; ++i) {
            for (int j = 0; j <= n[v]; ++j) {
                Vector3d corner;
                corner[w] = is_far ? size[w] : 0;
                corner[u] = size[u] * i / n[u];
                corner[v] = size[v] * j / n[v];
                x.push_back(corner);
            }
        }
        for (int i = 0; i < n[u]; ++i) {
            for (int j = 0; j < n[v]; ++j) {
                const int p = start + i * (n[v] + 1) + j, q = p + n[v] + 1;
                if (is_far)
                    faces.push_back({p, q, q + 1, p + 1});
                else
                    faces.push_back({p, p + 1, q + 1, q});
            }
        }
    }
    return solver::make_panel_surface(x, faces);
}

} // namespace stillwall::test
