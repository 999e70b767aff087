#include "mesh/gmsh/internal/drawing.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

double angle_of(const Vector2d& d)
{
    return std::atan2(d.y(), d.x());
}

/// Angle from p to q about the origin, anticlockwise, in (0, 2π].
double turn(const Vector2d& p, const Vector2d& q)
{
    const double a = angle_of(q) - angle_of(p);
    return a > 1e-12 ? a : a + 2 * pi;
}

std::tuple<int, int, std::optional<int>> key_of(int v0, int v1, std::optional<int> arc)
{
    return {std::min(v0, v1), std::max(v0, v1), arc};
}

} // namespace

Vector3d Drawing::along(int edge, double t) const
{
    const Edge& e = edges[edge];
    const Vector3d &x0 = vertices[e.v[0]], &x1 = vertices[e.v[1]];
    if (!e.arc) return x0 + t * (x1 - x0);
    const Arc& arc = arcs[*e.arc];
    const Vector2d d0 = at(arc.board, e.v[0]) - arc.centre, d1 = at(arc.board, e.v[1]) - arc.centre;
    const double angle = angle_of(d0) + t * turn(d0, d1), radius = (1 - t) * d0.norm() + t * d1.norm();
    return frames[arc.board].to_space(arc.centre + radius * Vector2d(std::cos(angle), std::sin(angle)));
}

double Drawing::length(int edge) const
{
    const Edge& e = edges[edge];
    if (!e.arc) return (vertices[e.v[1]] - vertices[e.v[0]]).norm();
    const Arc& arc = arcs[*e.arc];
    const Vector2d d0 = at(arc.board, e.v[0]) - arc.centre, d1 = at(arc.board, e.v[1]) - arc.centre;
    return turn(d0, d1) * (d0.norm() + d1.norm()) / 2;
}

Vector2d Drawing::direction(int board, HalfEdge h, double t) const
{
    const double e = edges[h / 2].arc ? 1e-4 : 1.0;
    const double t0 = t < 0.5 ? 0 : 1 - e;
    return (along(board, h, t0 + e) - along(board, h, t0)).normalized();
}

double Drawing::loop_area(int board, const std::vector<HalfEdge>& loop) const
{
    double twice = 0;
    const Vector2d o = at(board, start(loop.front()));
    for (const HalfEdge h : loop) {
        const Vector2d p = at(board, start(h)) - o, q = at(board, end(h)) - o;
        twice += cross(p, q);
        if (!edges[h / 2].arc) continue;
        // Between chord and arc lies a segment of r²(θ − sin θ)/2.
        const Arc& arc = arcs[*edges[h / 2].arc];
        const Edge& e = edges[h / 2];
        const Vector2d d0 = at(board, e.v[0]) - arc.centre, d1 = at(board, e.v[1]) - arc.centre;
        const double theta = turn(d0, d1);
        twice += (h % 2 == 0 ? 1 : -1) * d0.norm() * d1.norm() * (theta - std::sin(theta));
    }
    return twice / 2;
}

double Drawing::face_area(const Face& face) const
{
    double area = 0;
    for (const auto& loop : face.loops) area += loop_area(face.board, loop);
    return area;
}

Vector2d Drawing::inner_point(const Face& face) const
{
    const auto& loop = face.loops.front();
    const HalfEdge h = *std::max_element(loop.begin(), loop.end(),
                                         [&](HalfEdge p, HalfEdge q) { return length(p / 2) < length(q / 2); });
    const Vector2d d = along(face.board, h, 0.51) - along(face.board, h, 0.49);
    return along(face.board, h, 0.5) + 1e-4 * Vector2d(-d.y(), d.x()).normalized();
}

int Drawing::split_edge(int edge, int vertex)
{
    const int last = edges[edge].v[1], added = static_cast<int>(edges.size());
    edge_index.erase(key_of(edges[edge].v[0], last, edges[edge].arc));
    Edge rest = edges[edge];
    rest.v[0] = vertex;
    edges[edge].v[1] = vertex;
    edge_index[key_of(edges[edge].v[0], vertex, rest.arc)] = edge;
    edge_index[key_of(vertex, last, rest.arc)] = added;
    edges.push_back(std::move(rest));
    for (auto& list : board_edges)
        if (std::find(list.begin(), list.end(), edge) != list.end()) list.push_back(added);
    for (Face& face : faces)
        for (auto& loop : face.loops)
            for (std::size_t k = 0; k < loop.size(); ++k) {
                if (loop[k] / 2 != edge) continue;
                const bool is_forward = loop[k] % 2 == 0;
                loop[k] = is_forward ? 2 * edge : 2 * added + 1;
                loop.insert(loop.begin() + static_cast<std::ptrdiff_t>(k) + 1, is_forward ? 2 * added : 2 * edge + 1);
                ++k;
            }
    return added;
}

int Drawing::add_edge(int board, int v0, int v1, std::optional<int> arc)
{
    const auto [it, is_new] = edge_index.try_emplace(key_of(v0, v1, arc), static_cast<int>(edges.size()));
    if (is_new) {
        Edge e;
        e.v[0] = v0;
        e.v[1] = v1;
        e.arc = arc;
        edges.push_back(e);
    }
    auto& list = board_edges[board];
    if (std::find(list.begin(), list.end(), it->second) == list.end()) list.push_back(it->second);
    return it->second;
}

} // namespace stillwall::mesh
