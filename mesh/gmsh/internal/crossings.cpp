#include "mesh/gmsh/internal/drawing.h"

#include <array>
#include <cmath>
#include <vector>

namespace stillwall::mesh {

namespace {

/// A straight piece of an edge: the whole of it, or a chord of an arc.
struct Piece
{
    int edge;
    double from, to; ///< fractions of the edge
    Vector2d a, b;
};

std::vector<Piece> pieces_of(const Drawing& drawing, int board)
{
    std::vector<Piece> pieces;
    for (const int e : drawing.board_edges[board]) {
        const int n = drawing.edges[e].arc ? 16 : 1; // an arc turns by 100° at most: off by 1/700 of its radius
        for (int k = 0; k < n; ++k) {
            const double from = static_cast<double>(k) / n, to = (k + 1.0) / n;
            pieces.push_back({e, from, to, drawing.along(board, 2 * e, from), drawing.along(board, 2 * e, to)});
        }
    }
    return pieces;
}

/// Where p is cut by q, as a fraction of p's edge.
std::optional<double> cut(const Piece& p, const Piece& q)
{
    const Vector2d u = p.b - p.a, v = q.b - q.a;
    const double det = cross(u, v);
    if (std::abs(det) < 1e-12) return std::nullopt; // parallel
    const double t = cross(q.a - p.a, v) / det, s = cross(q.a - p.a, u) / det;
    if (t <= 0 || t >= 1 || s <= 0 || s >= 1) return std::nullopt;
    return p.from + t * (p.to - p.from);
}

/// The one of these vertices that lies at x; −1 when none does.
int end_at(const Drawing& drawing, const std::array<int, 4>& vertices, const Vector3d& x)
{
    constexpr double reach = 1e-4; // [m] of an edge so short nothing good comes
    for (const int v : vertices)
        if ((drawing.vertices[v] - x).norm() < reach) return v;
    return -1;
}

/// Cuts the first two edges that cross. False when there are none.
bool cut_first(Drawing& drawing, int board)
{
    const auto pieces = pieces_of(drawing, board);
    for (std::size_t i = 0; i < pieces.size(); ++i)
        for (std::size_t k = i + 1; k < pieces.size(); ++k) {
            const Piece &p = pieces[i], &q = pieces[k];
            const auto &v = drawing.edges[p.edge].v, &w = drawing.edges[q.edge].v;
            if (v[0] == w[0] || v[0] == w[1] || v[1] == w[0] || v[1] == w[1]) continue;
            const auto at_p = cut(p, q), at_q = cut(q, p);
            if (!at_p || !at_q) continue;
            const bool on_p = !drawing.edges[p.edge].arc; // the exact point is on the straight one
            const Vector3d x = on_p ? drawing.along(p.edge, *at_p) : drawing.along(q.edge, *at_q);
            const int at_end = end_at(drawing, {v[0], v[1], w[0], w[1]}, x);
            const int vertex = at_end >= 0 ? at_end : static_cast<int>(drawing.vertices.size());
            if (at_end < 0) drawing.vertices.push_back(x);
            const bool ends_p = v[0] == vertex || v[1] == vertex, ends_q = w[0] == vertex || w[1] == vertex;
            if (!ends_p) drawing.split_edge(p.edge, vertex);
            if (!ends_q) drawing.split_edge(q.edge, vertex);
            return true;
        }
    return false;
}

} // namespace

void cut_crossings(Drawing& drawing, int board)
{
    constexpr int most = 40; // more are no slips of merging
    for (int k = 0; k < most && cut_first(drawing, board); ++k) {
    }
}

} // namespace stillwall::mesh
