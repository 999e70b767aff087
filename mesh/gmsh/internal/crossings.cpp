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

/// Where a straight edge meets an arc [fraction of it], from where it meets a chord of the arc; for two arcs, and where
/// they miss each other by a hair, as it was.
double on_arc(const Drawing& drawing, int board, int straight, double t, int other)
{
    if (!drawing.edges[other].arc) return t;
    const Vector2d centre = drawing.arcs[*drawing.edges[other].arc].centre;
    const auto radius = [&](int v) { return (drawing.at(board, drawing.edges[other].v[v]) - centre).norm(); };
    const Vector2d a = drawing.along(board, 2 * straight, 0) - centre,
                   d = drawing.along(board, 2 * straight, 1) - a - centre;
    const double r = (radius(0) + radius(1)) / 2; // |a + t d| = r
    const double root = a.dot(d) * a.dot(d) - d.squaredNorm() * (a.squaredNorm() - r * r);
    if (root < 0) return t;
    const double first = (-a.dot(d) - std::sqrt(root)) / d.squaredNorm(),
                 last = (-a.dot(d) + std::sqrt(root)) / d.squaredNorm();
    const double nearer = std::abs(first - t) < std::abs(last - t) ? first : last;
    return nearer > 0 && nearer < 1 ? nearer : t;
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
            const Vector3d x =
                on_p ? drawing.along(p.edge, on_arc(drawing, board, p.edge, *at_p, q.edge))
                     : drawing.along(q.edge,
                                     drawing.edges[q.edge].arc ? *at_q : on_arc(drawing, board, q.edge, *at_q, p.edge));
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
