#include "mesh/gmsh/internal/corners.h"

#include <algorithm>
#include <cmath>
#include <deque>

namespace stillwall::mesh {

std::optional<Sides> four_sides(const Drawing& drawing, const Face& face, double sharp)
{
    if (face.loops.size() != 1) return std::nullopt;
    const auto& loop = face.loops.front();
    const std::size_t n = loop.size();
    std::vector<std::size_t> corners; // half edges that begin at a corner
    for (std::size_t k = 0; k < n; ++k) {
        const Vector2d in = drawing.direction(face.board, loop[(k + n - 1) % n], 1);
        const Vector2d out = drawing.direction(face.board, loop[k], 0);
        const double turn = std::atan2(cross(in, out), in.dot(out));
        if (turn < -sharp) return std::nullopt;
        if (turn > sharp) corners.push_back(k);
    }
    if (corners.size() != 4) return std::nullopt;
    Sides sides;
    for (std::size_t s = 0; s < 4; ++s)
        for (std::size_t k = corners[s]; k != corners[(s + 1) % 4]; k = (k + 1) % n) sides[s].push_back(loop[k]);
    return sides;
}

double chain_length(const Drawing& drawing, const std::vector<HalfEdge>& chain)
{
    double sum = 0;
    for (const HalfEdge h : chain) sum += drawing.length(h / 2);
    return sum;
}

namespace {

/// Cuts strip faces across at every vertex inside a long side.
class StripCutter
{
public:
    StripCutter(Drawing& drawing, const Sizes& sizes) : drawing_(drawing), sizes_(sizes) {}

    void run()
    {
        // Each cut may put a vertex into the next strip's side; cuts only travel across strips, so this ends. The
        // limit guards against a spiral of strips, whose rest is then meshed without rows.
        for (std::size_t rounds = 0; rounds < 40; ++rounds) {
            bool is_changed = false;
            for (std::size_t f = 0; f < drawing_.faces.size(); ++f)
                while (cut(f)) is_changed = true;
            if (!is_changed) return;
        }
    }

private:
    bool cut(std::size_t f)
    {
        const Face& face = drawing_.faces[f];
        if (face.strips.empty() || face.is_void) return false;
        const auto sides = four_sides(drawing_, face, 0.6);
        if (!sides) return false;
        for (const int s : {0, 1}) {
            const auto &near = (*sides)[s], &far = (*sides)[s + 2];
            if (near.size() == 1 && far.size() == 1) continue;
            const double width =
                (chain_length(drawing_, (*sides)[s + 1]) + chain_length(drawing_, (*sides)[(s + 3) % 4])) / 2;
            if (near.size() > 1 ? cut_between(f, near, far, width) : cut_between(f, far, near, width)) return true;
        }
        return false;
    }

    /// Joins the first vertex inside `near` to the opposite side; false when there is no room.
    bool cut_between(std::size_t f, const std::vector<HalfEdge>& near, const std::vector<HalfEdge>& far, double width)
    {
        const int from = drawing_.end(near.front());
        const Vector3d x = drawing_.vertices[from];
        // A vertex about opposite serves as it is.
        int to = -1;
        double best = std::hypot(width, std::max(0.6 * width, sizes_.merge));
        for (std::size_t k = 0; k + 1 < far.size(); ++k) {
            const int v = drawing_.end(far[k]);
            if (const double off = (drawing_.vertices[v] - x).norm(); off < best) {
                best = off;
                to = v;
            }
        }
        if (to < 0) to = add_opposite(far, x, width);
        if (to >= 0) split_face(f, from, to);
        return to >= 0;
    }

    /// New vertex on the chain where it is nearest to x, but well off the ends of its edge; −1 when the edge is
    /// too short for that.
    int add_opposite(const std::vector<HalfEdge>& far, const Vector3d& x, double width)
    {
        int edge = -1;
        double best = 1e300, where = 0;
        for (const HalfEdge h : far)
            for (int k = 0; k <= 50; ++k) {
                const double t = k / 50.0, off = (drawing_.along(h / 2, t) - x).norm();
                if (off >= best) continue;
                best = off;
                edge = h / 2;
                where = t;
            }
        if (!drawing_.edges[edge].arc) { // the sample says which edge; the foot of the perpendicular is exact
            const Vector3d x0 = drawing_.vertices[drawing_.edges[edge].v[0]];
            const Vector3d u = drawing_.vertices[drawing_.edges[edge].v[1]] - x0;
            where = (x - x0).dot(u) / u.squaredNorm();
        }
        const double margin = std::max(2 * sizes_.merge, 0.4 * width) / drawing_.length(edge);
        if (margin > 0.45) return -1;
        where = std::clamp(where, margin, 1 - margin);
        drawing_.vertices.push_back(drawing_.along(edge, where));
        const int v = static_cast<int>(drawing_.vertices.size()) - 1;
        drawing_.split_edge(edge, v);
        return v;
    }

    void split_face(std::size_t f, int v0, int v1)
    {
        const int board = drawing_.faces[f].board;
        const int edge = drawing_.add_edge(board, v0, v1);
        const HalfEdge forward = 2 * edge + (drawing_.edges[edge].v[0] == v0 ? 0 : 1);
        auto& loop = drawing_.faces[f].loops.front();
        const auto starts_at = [&](int v) {
            return std::find_if(loop.begin(), loop.end(), [&](HalfEdge h) { return drawing_.start(h) == v; });
        };
        std::rotate(loop.begin(), starts_at(v0), loop.end());
        const auto middle = starts_at(v1);
        Face rest = drawing_.faces[f];
        rest.loops.front().assign(middle, loop.end());
        rest.loops.front().push_back(forward);
        loop.erase(middle, loop.end());
        loop.push_back(forward ^ 1);
        drawing_.faces.push_back(std::move(rest));
    }

    Drawing& drawing_;
    const Sizes& sizes_;
};

} // namespace

void square_strips(Drawing& drawing, const Sizes& sizes)
{
    StripCutter(drawing, sizes).run();
}

} // namespace stillwall::mesh
