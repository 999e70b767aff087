#include "mesh/gmsh/internal/drawing.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::mesh {

namespace {

constexpr double exact = 1e-5; ///< [m] the description's lines meet to better than this

/// Finds all vertices of the drawing, in order of rank so that what matters more stays in its place, then threads
/// the curves through them.
class Draftsman
{
public:
    Draftsman(const Cabinet& cabinet, const Layout& layout, const Sizes& sizes)
        : cabinet_(cabinet), curves_(layout.curves), sizes_(sizes), n_(static_cast<int>(cabinet.boards.size()))
    {
        for (const Board& board : cabinet.boards) drawing_.frames.push_back(board.frame);
        drawing_.board_edges.resize(n_);
        ends_.resize(n_);
        for (int b = 0; b < n_; ++b) ends_[b].resize(layout.curves[b].size(), {-1, -1});
    }

    Drawing draw()
    {
        const auto every_board = [this](auto step) {
            for (int b = 0; b < n_; ++b) step(b);
        };
        every_board([this](int b) { place_ends(b, Role::Outline); });
        every_board([this](int b) { place_ends(b, Role::Junction); });
        every_board([this](int b) {
            cross(b, [](const Curve& p, const Curve& q) { return p.is_primary() && q.is_primary(); });
        });
        for (const Role role : {Role::Rim, Role::Spoke, Role::Rib, Role::Notch})
            every_board([this, role](int b) { place_ends(b, role); });
        every_board([this](int b) {
            cross(b, [](const Curve& p, const Curve& q) { return p.is_primary() && q.role == Role::Rib; });
        });
        // Board by board: a shelf's limits end where the walls' limits have crossed the shared line.
        every_board([this](int b) {
            place_ends(b, Role::Limit);
            place_ends(b, Role::Cap);
            cross(b, [this](const Curve& p, const Curve& q) {
                return p.is_primary() && is_strip(q) && !is_near(p, q.a) && !is_near(p, q.b);
            });
        });
        every_board([this](int b) {
            cross(b, [](const Curve& p, const Curve& q) { return !p.is_primary() && !q.is_primary(); });
        });
        fill_rims();
        for (const bool rims : {true, false})
            for (int b = 0; b < n_; ++b)
                for (std::size_t k = 0; k < curves_[b].size(); ++k)
                    if ((curves_[b][k].role == Role::Rim) == rims) thread(b, k);
        return std::move(drawing_);
    }

private:
    static bool is_strip(const Curve& c) { return c.role == Role::Limit || c.role == Role::Cap; }

    [[nodiscard]] bool is_near(const Curve& line, const Vector2d& p) const
    {
        return (line.at(line.project(p)) - p).norm() < sizes_.merge;
    }

    int nearest(const Vector3d& x, double reach) const
    {
        int best = -1;
        for (int v = 0; v < static_cast<int>(drawing_.vertices.size()); ++v)
            if (const double d = (drawing_.vertices[v] - x).norm(); d < reach) {
                reach = d;
                best = v;
            }
        return best;
    }

    int add_vertex(int board, const Vector2d& p)
    {
        const Vector3d x = cabinet_.boards[board].frame.to_space(p);
        int v = nearest(x, sizes_.merge);
        if (v < 0) {
            v = static_cast<int>(drawing_.vertices.size());
            drawing_.vertices.push_back(x);
            is_on_.emplace_back(n_, false);
        }
        is_on_[v][board] = true;
        return v;
    }

    /// The end of a strip's limit on a line shared with another board moves onto the vertex that board's own limit
    /// made there, when the two differ by less than half a strip.
    int add_limit_end(int board, const Curve& c, const Vector2d& p)
    {
        const Vector3d x = cabinet_.boards[board].frame.to_space(p);
        if (nearest(x, sizes_.merge) >= 0) return add_vertex(board, p);
        const int v = nearest(x, std::min(0.6 * c.width, 0.25 * sizes_.element));
        if (v >= 0 && !is_on_[v][board])
            for (const Curve& line : curves_[board])
                if (line.is_primary() && is_near(line, p) && distance(board, line, v) < exact) {
                    is_on_[v][board] = true;
                    return v;
                }
        return add_vertex(board, p);
    }

    /// Puts vertices at the ends of a board's curves. Spokes and the like are drawn anew between the vertices their
    /// ends were merged with; a limit keeps its place but for its last piece.
    void place_ends(int b, Role role)
    {
        for (std::size_t k = 0; k < curves_[b].size(); ++k) {
            Curve& c = curves_[b][k];
            if (c.role != role || c.is_closed()) continue;
            const auto place = [&](const Vector2d& p) {
                return role == Role::Limit ? add_limit_end(b, c, p) : add_vertex(b, p);
            };
            ends_[b][k] = {place(c.a), place(c.b)};
            if (c.is_primary() || role == Role::Rim || role == Role::Limit) continue;
            c.a = drawing_.at(b, ends_[b][k][0]);
            c.b = drawing_.at(b, ends_[b][k][1]);
        }
    }

    template <class Pick> void cross(int b, Pick pick)
    {
        const auto& curves = curves_[b];
        for (std::size_t i = 0; i < curves.size(); ++i)
            for (std::size_t j = i + 1; j < curves.size(); ++j) {
                if (!pick(curves[i], curves[j]) && !pick(curves[j], curves[i])) continue;
                for (const Vector2d& x : crossings(curves[i], curves[j], sizes_.merge)) add_vertex(b, x);
            }
    }

    [[nodiscard]] double distance(int board, const Curve& c, int vertex) const
    {
        const Vector2d p = drawing_.at(board, vertex);
        const double off = cabinet_.boards[board].frame.height_of(drawing_.vertices[vertex]);
        return std::hypot((c.at(c.project(p)) - p).norm(), off);
    }

    /// Fractions and vertices along a curve, ends included; a closed rim starts at its first vertex.
    [[nodiscard]] std::vector<std::pair<double, int>> stops(int b, std::size_t k) const
    {
        const Curve& c = curves_[b][k];
        const auto [first, last] = ends_[b][k];
        const bool is_free_hand = !c.is_primary() && c.role != Role::Rim; // may bend by a merge distance
        if (!c.is_arc && first == last) return {};
        std::vector<std::pair<double, int>> list;
        for (int v = 0; v < static_cast<int>(drawing_.vertices.size()); ++v) {
            if (v == first || v == last) continue;
            if (distance(b, c, v) > (is_free_hand && is_on_[v][b] ? sizes_.merge : exact)) continue;
            const double t = c.project(drawing_.at(b, v));
            if (c.is_closed() || (t > 0 && t < 1)) list.emplace_back(t, v);
        }
        std::sort(list.begin(), list.end());
        if (c.is_closed() && !list.empty()) list.emplace_back(list.front().first + 1, list.front().second);
        if (!c.is_closed()) {
            list.insert(list.begin(), {0.0, first});
            list.emplace_back(1.0, last);
        }
        return list;
    }

    /// Adds vertices to arcs until no edge turns by more than about 100°.
    void fill_rims()
    {
        for (int b = 0; b < n_; ++b)
            for (std::size_t k = 0; k < curves_[b].size(); ++k) {
                const Curve& c = curves_[b][k];
                if (!c.is_arc) continue;
                if (c.is_closed() && stops(b, k).empty()) add_vertex(b, c.at(0));
                const auto list = stops(b, k);
                for (std::size_t i = 0; i + 1 < list.size(); ++i) {
                    const double gap = list[i + 1].first - list[i].first;
                    const int n = static_cast<int>(std::ceil(gap * c.sweep / 1.75 - 1e-9));
                    for (int m = 1; m < n; ++m) add_vertex(b, c.at(std::fmod(list[i].first + gap * m / n, 1.0)));
                }
            }
    }

    void thread(int b, std::size_t k)
    {
        const Curve& c = curves_[b][k];
        std::optional<int> arc;
        if (c.is_arc) {
            arc = static_cast<int>(drawing_.arcs.size());
            drawing_.arcs.push_back({b, c.centre});
        }
        const auto list = stops(b, k);
        for (std::size_t i = 0; i + 1 < list.size(); ++i) {
            if (list[i].second == list[i + 1].second) continue;
            Edge& e = drawing_.edges[drawing_.add_edge(b, list[i].second, list[i + 1].second, arc)];
            if (c.role == Role::Rim) e.rim = Edge::Rim{b, c.owner};
            if (c.role == Role::Rib) e.rib = c.owner;
            if (c.role == Role::Junction &&
                std::find(e.junctions.begin(), e.junctions.end(), c.owner) == e.junctions.end())
                e.junctions.push_back(c.owner);
        }
    }

    const Cabinet& cabinet_;
    std::vector<std::vector<Curve>> curves_; ///< [board], as they are bent
    const Sizes& sizes_;
    int n_;
    Drawing drawing_;
    std::vector<std::vector<bool>> is_on_;              ///< [vertex][board]: made by that board's curves
    std::vector<std::vector<std::array<int, 2>>> ends_; ///< [board][curve]: end vertices
};

} // namespace

Drawing draw_edges(const Cabinet& cabinet, const Layout& layout, const Sizes& sizes)
{
    return Draftsman(cabinet, layout, sizes).draw();
}

} // namespace stillwall::mesh
