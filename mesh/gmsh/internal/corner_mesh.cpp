#include "mesh/gmsh/internal/corner_mesh.h"

#include <algorithm>

namespace stillwall::mesh {

namespace {

void divide_edges(CornerMesh& mesh, const Drawing& drawing, const Counts& counts)
{
    mesh.edge_nodes.resize(drawing.edges.size());
    for (const Face& face : drawing.faces) {
        if (face.is_void) continue;
        for (const auto& loop : face.loops)
            for (const HalfEdge h : loop) {
                auto& list = mesh.edge_nodes[h / 2];
                if (!list.empty()) continue;
                const int n = counts.n[h / 2];
                list.push_back(drawing.edges[h / 2].v[0]);
                for (int k = 1; k < n; ++k) {
                    list.push_back(static_cast<int>(mesh.nodes.size()));
                    mesh.nodes.push_back(drawing.along(h / 2, static_cast<double>(k) / n));
                }
                list.push_back(drawing.edges[h / 2].v[1]);
            }
    }
}

std::vector<int> chain_nodes(const CornerMesh& mesh, const std::vector<HalfEdge>& chain)
{
    std::vector<int> nodes;
    for (const HalfEdge h : chain) {
        const auto part = mesh.along(h);
        nodes.insert(nodes.end(), part.begin() + (nodes.empty() ? 0 : 1), part.end());
    }
    return nodes;
}

/// Fractions of a chain's length at its nodes.
std::vector<double> fractions(const CornerMesh& mesh, const std::vector<int>& nodes)
{
    std::vector<double> s{0};
    for (std::size_t k = 1; k < nodes.size(); ++k)
        s.push_back(s.back() + (mesh.nodes[nodes[k]] - mesh.nodes[nodes[k - 1]]).norm());
    for (double& x : s) x /= s.back();
    return s;
}

/// Transfinite interpolation between four sides.
/// @source W. J. Gordon and C. A. Hall, Int. J. Numer. Meth. Eng. 7 (1973) 461
void fill_block(CornerMesh& mesh, const Sides& sides, int face)
{
    const auto south = chain_nodes(mesh, sides[0]), east = chain_nodes(mesh, sides[1]);
    auto north = chain_nodes(mesh, sides[2]), west = chain_nodes(mesh, sides[3]);
    std::reverse(north.begin(), north.end());
    std::reverse(west.begin(), west.end());
    const auto s0 = fractions(mesh, south), s1 = fractions(mesh, north);
    const auto t0 = fractions(mesh, west), t1 = fractions(mesh, east);
    const std::size_t n = south.size(), m = west.size();
    const auto x = [&mesh](int node) -> Vector3d { return mesh.nodes[node]; };
    std::vector<int> grid(n * m);
    for (std::size_t j = 0; j < m; ++j)
        for (std::size_t i = 0; i < n; ++i) {
            int& node = grid[j * n + i];
            if (j == 0)
                node = south[i];
            else if (j == m - 1)
                node = north[i];
            else if (i == 0)
                node = west[j];
            else if (i == n - 1)
                node = east[j];
            else {
                // Straight lines between opposite nodes cross at (s, t).
                const double ds = s1[i] - s0[i], dt = t1[j] - t0[j];
                const double s = (s0[i] + t0[j] * ds) / (1 - ds * dt), t = t0[j] + s * dt;
                node = static_cast<int>(mesh.nodes.size());
                const Vector3d p = (1 - t) * x(south[i]) + t * x(north[i]) + (1 - s) * x(west[j]) + s * x(east[j]) -
                                   (1 - s) * (1 - t) * x(south.front()) - s * (1 - t) * x(south.back()) -
                                   s * t * x(north.back()) - (1 - s) * t * x(north.front());
                mesh.nodes.push_back(p);
            }
        }
    for (std::size_t j = 0; j + 1 < m; ++j)
        for (std::size_t i = 0; i + 1 < n; ++i)
            mesh.quads.push_back(
                {{grid[j * n + i], grid[j * n + i + 1], grid[(j + 1) * n + i + 1], grid[(j + 1) * n + i]}, face});
}

} // namespace

std::vector<int> CornerMesh::along(HalfEdge h) const
{
    std::vector<int> list = edge_nodes[h / 2];
    if (h % 2 == 1) std::reverse(list.begin(), list.end());
    return list;
}

CornerMesh mesh_corners(const Drawing& drawing, const Counts& counts, const std::vector<Remedy>& remedies,
                        FilledFaces& filled)
{
    CornerMesh mesh;
    mesh.nodes = drawing.vertices;
    divide_edges(mesh, drawing, counts);
    std::vector<int> free_faces;
    for (int f = 0; f < static_cast<int>(drawing.faces.size()); ++f) {
        if (drawing.faces[f].is_void) continue;
        if (counts.blocks[f])
            fill_block(mesh, *counts.blocks[f], f);
        else
            free_faces.push_back(f);
    }
    fill_free_faces(mesh, drawing, free_faces, remedies, filled);
    return mesh;
}

} // namespace stillwall::mesh
