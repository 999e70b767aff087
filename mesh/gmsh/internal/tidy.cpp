#include "mesh/gmsh/internal/drawing.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

class Tidier
{
public:
    Tidier(Drawing& drawing, const Board& board, int index, const Sizes& sizes)
        : drawing_(drawing), board_(board), index_(index), sizes_(sizes)
    {
    }

    /// Edges that end in mid-board: strips' lines are taken out, a junction or a rib runs on to the next edge.
    void tie_loose_ends()
    {
        while (const auto loose = find_loose()) {
            const auto [edge, vertex] = *loose;
            const Edge& e = drawing_.edges[edge];
            const bool is_needed = (!e.junctions.empty() || e.rib) && is_wood(drawing_.along(index_, 2 * edge, 0.5));
            const int behind = e.v[e.v[0] == vertex ? 1 : 0];
            const Vector2d u = (drawing_.at(index_, vertex) - drawing_.at(index_, behind)).normalized();
            if (is_needed && run_on(vertex, u, 10, 1.5)) continue;
            std::erase(drawing_.board_edges[index_], edge);
        }
    }

    /// From each re-entrant corner between straight edges both run on when the next edge is less than an element away
    /// and lies about square to them.
    void bridge_necks()
    {
        std::map<int, std::vector<double>> leaving; // vertex → directions of its edges
        std::map<int, bool> is_round;
        for (const int e : drawing_.board_edges[index_])
            for (const int side : {0, 1}) {
                const Vector2d d = drawing_.direction(index_, 2 * e + side, 0);
                leaving[drawing_.start(2 * e + side)].push_back(std::atan2(d.y(), d.x()));
                if (drawing_.edges[e].arc) is_round[drawing_.start(2 * e + side)] = true;
            }
        for (auto& [vertex, angles] : leaving) {
            if (is_round[vertex]) continue;
            std::sort(angles.begin(), angles.end());
            for (std::size_t k = 0; k < angles.size(); ++k) {
                const double low = angles[k];
                const double high = k + 1 < angles.size() ? angles[k + 1] : angles.front() + 2 * pi;
                if (high - low > 1.35 * pi && is_wood(vertex, (low + high) / 2)) bridge(vertex, low, high);
            }
        }
    }

private:
    void bridge(int vertex, double low, double high)
    {
        // The continuations of the two sides; those of a corner a little over straight would all but coincide.
        for (const double angle : {high - pi, low + pi})
            if (angle > low + 0.6 && angle < high - 0.6)
                run_on(vertex, {std::cos(angle), std::sin(angle)}, 0.9 * sizes_.element, 0.5, true);
    }

    [[nodiscard]] bool is_wood(int vertex, double angle) const
    {
        return is_wood(drawing_.at(index_, vertex) + 1e-5 * Vector2d(std::cos(angle), std::sin(angle)));
    }

    [[nodiscard]] bool is_wood(const Vector2d& p) const
    {
        return is_inside(board_.outline, p) &&
               std::none_of(board_.openings.begin(), board_.openings.end(),
                            [&](const Opening& o) { return signed_distance(o, p) < 0; });
    }

    [[nodiscard]] std::optional<std::pair<int, int>> find_loose() const
    {
        std::map<int, std::pair<int, int>> seen; // vertex → number of edges, last of them
        for (const int e : drawing_.board_edges[index_])
            for (const int v : drawing_.edges[e].v) {
                ++seen[v].first;
                seen[v].second = e;
            }
        for (const auto& [v, s] : seen)
            if (s.first == 1) return std::pair{s.second, v};
        return std::nullopt;
    }

    /// Adds an edge from a vertex straight to the nearest edge ahead, when that is within reach and leans by less than
    /// `lean` [rad] from square.
    /// @param is_bridge  not at the price of a sharp corner
    bool run_on(int vertex, const Vector2d& u, double reach, double lean, bool is_bridge = false)
    {
        const Vector2d p = drawing_.at(index_, vertex);
        const Curve ray = straight(Role::Rib, -1, p, p + reach * u);
        int hit = -1;
        Vector2d where = p;
        for (const int other : drawing_.board_edges[index_]) {
            const Edge& o = drawing_.edges[other];
            if (o.v[0] == vertex || o.v[1] == vertex) continue;
            // An arc turns by 100° at most; four chords are close enough to find the place.
            const int n = o.arc ? 4 : 1;
            for (int k = 0; k < n; ++k) {
                const Curve piece =
                    straight(Role::Rim, -1, drawing_.along(index_, 2 * other, static_cast<double>(k) / n),
                             drawing_.along(index_, 2 * other, static_cast<double>(k + 1) / n));
                for (const Vector2d& x : crossings(ray, piece, 1e-6))
                    if ((x - p).norm() > 1e-6 && (hit < 0 || (x - p).norm() < (where - p).norm())) {
                        hit = other;
                        where = x;
                    }
            }
        }
        if (hit < 0 || std::abs(drawing_.direction(index_, 2 * hit, 0).dot(u)) > std::sin(lean)) return false;
        const int end = landing(hit, where);
        if (is_bridge && (hugs(vertex, end) || hugs(end, vertex))) return false;
        drawing_.add_edge(index_, vertex, end);
        return true;
    }

    /// Whether an edge from one vertex to another would leave the first along one that is there: the two might change
    /// sides.
    [[nodiscard]] bool hugs(int vertex, int end) const
    {
        constexpr double sharp = 0.25; // [rad]
        const Vector2d p = drawing_.at(index_, vertex), u = drawing_.at(index_, end) - p;
        for (const int e : drawing_.board_edges[index_])
            for (const int h : {2 * e, 2 * e + 1}) {
                if (drawing_.start(h) != vertex) continue;
                for (const double t : {0.05, 0.5}) {
                    const Vector2d d = drawing_.along(index_, h, t) - p;
                    if (std::abs(std::atan2(cross(u, d), u.dot(d))) < sharp) return true;
                }
            }
        return false;
    }

    /// Vertex of an edge at p: one of its ends when that is near.
    int landing(int edge, const Vector2d& p)
    {
        const double l = drawing_.length(edge);
        const double to_start = (p - drawing_.at(index_, drawing_.edges[edge].v[0])).norm();
        const double t = std::clamp(to_start / l, 0.0, 1.0);
        const double snap = std::min(std::max(sizes_.merge, 0.12 * sizes_.element), 0.35 * l);
        if (t * l < snap) return drawing_.edges[edge].v[0];
        if ((1 - t) * l < snap) return drawing_.edges[edge].v[1];
        drawing_.vertices.push_back(drawing_.along(edge, t));
        const int v = static_cast<int>(drawing_.vertices.size()) - 1;
        drawing_.split_edge(edge, v);
        return v;
    }

    Drawing& drawing_;
    const Board& board_;
    int index_;
    const Sizes& sizes_;
};

} // namespace

void tidy_edges(Drawing& drawing, const Board& board, int index, const Sizes& sizes)
{
    Tidier tidier(drawing, board, index, sizes);
    tidier.tie_loose_ends();
    tidier.bridge_necks();
}

} // namespace stillwall::mesh
