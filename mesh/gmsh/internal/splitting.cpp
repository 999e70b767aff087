#include "mesh/gmsh/internal/patch.h"

#include "mesh/gmsh/internal/curve.h"
#include "mesh/gmsh/internal/small_ring.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>

namespace stillwall::mesh {

namespace {

/// A polygon of nodes, anticlockwise. A node may occur twice where a hole was tied to the outer loop.
using Ring = std::vector<int>;

/// A way to cut a ring in two.
struct Split
{
    std::size_t i = 0, j = 0; ///< positions in the ring, i < j
    int sides = 1;            ///< element sides along the cut
    double cost = 0;
};

bool segments_cross(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d)
{
    const double d1 = cross(b - a, c - a), d2 = cross(b - a, d - a), d3 = cross(d - c, a - c), d4 = cross(d - c, b - c);
    return ((d1 > 0) != (d2 > 0)) && ((d3 > 0) != (d4 > 0));
}

double distance_to_segment(const Vector2d& p, const Vector2d& a, const Vector2d& b)
{
    const Vector2d u = b - a;
    const double t = std::clamp((p - a).dot(u) / u.squaredNorm(), 0.0, 1.0);
    return (p - a - t * u).norm();
}

class Splitter
{
public:
    explicit Splitter(const Region& region) : rings_(region.loops)
    {
        patch_.points = region.points;
        patch_.n_boundary = static_cast<int>(patch_.points.size());
    }

    std::optional<Patch> run()
    {
        while (rings_.size() > 1)
            if (!tie_nearest()) return std::nullopt;
        std::deque<Ring> open{rings_.front()};
        std::size_t budget = 40 * (rings_.front().size() + 10); // far above what any ring needs
        while (!open.empty()) {
            const Ring ring = std::move(open.front());
            open.pop_front();
            if (ring.size() % 2 != 0 || ring.size() < 4 || budget-- == 0) return std::nullopt;
            if (ring.size() <= 6)
                fill(ring);
            else if (!split(ring, open))
                return std::nullopt;
        }
        return std::move(patch_);
    }

private:
    [[nodiscard]] const Vector2d& at(int node) const { return patch_.points[node]; }

    /// Ties the hole nearest to the outer ring to it by a cut that is walked both ways.
    bool tie_nearest()
    {
        double best = 1e300;
        std::size_t hole = 0, at_outer = 0, at_hole = 0;
        for (std::size_t r = 1; r < rings_.size(); ++r)
            for (std::size_t i = 0; i < rings_[0].size(); ++i)
                for (std::size_t k = 0; k < rings_[r].size(); ++k)
                    if (const double d = (at(rings_[0][i]) - at(rings_[r][k])).norm(); d < best) {
                        best = d;
                        hole = r;
                        at_outer = i;
                        at_hole = k;
                    }
        if (hole == 0) return false;
        Ring& outer = rings_[0];
        Ring inner = rings_[hole];
        std::rotate(inner.begin(), inner.begin() + static_cast<std::ptrdiff_t>(at_hole), inner.end());
        const double size = (size_at(outer, at_outer) + size_at(inner, 0)) / 2;
        const auto cut = new_nodes(outer[at_outer], inner[0], std::max(1, static_cast<int>(std::lround(best / size))));
        Ring joined(outer.begin(), outer.begin() + static_cast<std::ptrdiff_t>(at_outer) + 1);
        joined.insert(joined.end(), cut.begin(), cut.end());
        joined.insert(joined.end(), inner.begin(), inner.end());
        joined.push_back(inner[0]);
        joined.insert(joined.end(), cut.rbegin(), cut.rend());
        joined.insert(joined.end(), outer.begin() + static_cast<std::ptrdiff_t>(at_outer), outer.end());
        rings_[0] = std::move(joined);
        rings_.erase(rings_.begin() + static_cast<std::ptrdiff_t>(hole));
        return true;
    }

    /// Inner nodes of a straight cut with so many element sides.
    Ring new_nodes(int from, int to, int sides)
    {
        Ring cut;
        const Vector2d a = at(from), b = at(to);
        for (int k = 1; k < sides; ++k) {
            cut.push_back(static_cast<int>(patch_.points.size()));
            patch_.points.emplace_back(a + (b - a) * k / sides);
        }
        return cut;
    }

    /// Mean length of the two element sides at a position.
    [[nodiscard]] double size_at(const Ring& ring, std::size_t i) const
    {
        const std::size_t n = ring.size();
        const Vector2d& p = at(ring[i]);
        return ((at(ring[(i + 1) % n]) - p).norm() + (at(ring[(i + n - 1) % n]) - p).norm()) / 2;
    }

    /// Angle inside the ring from the side that leaves position i, anticlockwise to the direction d; in (0, 2π).
    [[nodiscard]] double angle_from_next(const Ring& ring, std::size_t i, const Vector2d& d) const
    {
        const Vector2d u = at(ring[(i + 1) % ring.size()]) - at(ring[i]);
        const double a = std::atan2(cross(u, d), u.dot(d));
        return a > 0 ? a : a + 2 * pi;
    }

    [[nodiscard]] double inner_angle(const Ring& ring, std::size_t i) const
    {
        return angle_from_next(ring, i, at(ring[(i + ring.size() - 1) % ring.size()]) - at(ring[i]));
    }

    /// How far an angle is from what elements like: one, two or three right angles.
    static double awkwardness(double angle)
    {
        const double quarters = angle / (pi / 2);
        const double off = quarters < 1 ? 1.5 * (1 - quarters) : std::abs(quarters - std::round(quarters));
        return off * off + (angle < 0.6 ? 2 : 0); // below 35° no good element fits
    }

    [[nodiscard]] std::optional<Split> rate(const Ring& ring, std::size_t i, std::size_t j,
                                            const std::vector<double>& angles) const
    {
        const Vector2d d = at(ring[j]) - at(ring[i]);
        const double length = d.norm();
        if (ring[i] == ring[j] || length < 1e-9) return std::nullopt;
        const double a1 = angle_from_next(ring, i, d), b1 = angle_from_next(ring, j, -d);
        const double a2 = angles[i] - a1, b2 = angles[j] - b1;
        if (a2 <= 0.05 || b2 <= 0.05 || a1 <= 0.05 || b1 <= 0.05) return std::nullopt; // leaves the ring
        Split split{i, j, 1, 0};
        // The number of sides must make both halves even.
        const double ideal = 2 * length / (size_at(ring, i) + size_at(ring, j));
        const int parity = static_cast<int>((j - i) % 2);
        int m = std::max(1, static_cast<int>(std::lround(ideal)));
        if (m % 2 != parity) m += (ideal > m || m == 1) ? 1 : -1;
        split.sides = m;
        const std::size_t n = ring.size(), n1 = j - i + static_cast<std::size_t>(m),
                          n2 = n - (j - i) + static_cast<std::size_t>(m);
        if (n1 < 4 || n2 < 4 || n1 > n || n2 > n) return std::nullopt; // no gain
        if (n1 == n || n2 == n) split.cost += 1.0;
        const double stretch = std::log(ideal / m);
        split.cost += awkwardness(a1) + awkwardness(a2) + awkwardness(b1) + awkwardness(b2) + 1.5 * stretch * stretch;
        split.cost += 0.02 * m; // short cuts first
        if (n > 40)             // halving keeps the work down
            split.cost += 0.5 * std::abs(static_cast<double>(n1) - static_cast<double>(n2)) / static_cast<double>(n);
        return split;
    }

    /// What the small rings that a cut leaves add to its cost: their elements are known already.
    [[nodiscard]] double outlook(const Ring& ring, const Split& s) const
    {
        return poorness(ring, s.i, s.j, s.sides) + poorness(ring, s.j, s.i, s.sides);
    }

    /// The same for the ring from position i on to j and back by the cut.
    [[nodiscard]] double poorness(const Ring& ring, std::size_t i, std::size_t j, int sides) const
    {
        const std::size_t size = (j + ring.size() - i) % ring.size() + static_cast<std::size_t>(sides);
        if (size > 6 || (size == 6 && ring.size() > 12)) return 0;
        std::vector<Vector2d> points;
        for (std::size_t k = i; k != j; k = (k + 1) % ring.size()) points.push_back(at(ring[k]));
        for (int k = 0; k < sides; ++k) points.emplace_back(at(ring[j]) + (at(ring[i]) - at(ring[j])) * k / sides);
        const double w = worst_shape(fill_small_ring(points));
        return w <= 0.05 ? 10 : 3 * std::max(0.0, 0.6 - w);
    }

    /// The cut stays inside the ring and keeps off its other nodes by a fraction of its element side.
    [[nodiscard]] bool is_visible(const Ring& ring, const Split& s, double fraction) const
    {
        const Vector2d &a = at(ring[s.i]), &b = at(ring[s.j]);
        const double clear = fraction * (b - a).norm() / s.sides;
        for (std::size_t k = 0; k < ring.size(); ++k) {
            const int p = ring[k], q = ring[(k + 1) % ring.size()];
            const bool touches = p == ring[s.i] || p == ring[s.j] || q == ring[s.i] || q == ring[s.j];
            if (!touches && segments_cross(a, b, at(p), at(q))) return false;
            if (p != ring[s.i] && p != ring[s.j] && distance_to_segment(at(p), a, b) < clear) return false;
        }
        return true;
    }

    bool split(const Ring& ring, std::deque<Ring>& open)
    {
        std::vector<double> angles;
        for (std::size_t i = 0; i < ring.size(); ++i) angles.push_back(inner_angle(ring, i));
        std::vector<Split> splits;
        for (std::size_t i = 0; i < ring.size(); ++i)
            for (std::size_t j = i + 2; j < ring.size(); ++j)
                if (const auto s = rate(ring, i, j, angles)) splits.push_back(*s);
        const auto is_cheaper = [](const Split& p, const Split& q) {
            return std::tuple(p.cost, p.i, p.j) < std::tuple(q.cost, q.i, q.j);
        };
        std::sort(splits.begin(), splits.end(), is_cheaper);
        for (const double fraction : {0.3, 0.1, 0.01}) {
            const Split* best = nullptr;
            double best_cost = std::numeric_limits<double>::max();
            for (const Split& s : splits) {
                if (s.cost >= best_cost) break;
                if (!is_visible(ring, s, fraction)) continue;
                if (const double cost = s.cost + outlook(ring, s); cost < best_cost) {
                    best_cost = cost;
                    best = &s;
                }
            }
            if (!best) continue;
            cut_at(ring, *best, open);
            return true;
        }
        return false;
    }

    void cut_at(const Ring& ring, const Split& s, std::deque<Ring>& open)
    {
        const Ring cut = new_nodes(ring[s.i], ring[s.j], s.sides);
        const auto from = ring.begin() + static_cast<std::ptrdiff_t>(s.i);
        const auto to = ring.begin() + static_cast<std::ptrdiff_t>(s.j);
        Ring first(from, to + 1), second(to, ring.end());
        first.insert(first.end(), cut.rbegin(), cut.rend());
        second.insert(second.end(), ring.begin(), from + 1);
        second.insert(second.end(), cut.begin(), cut.end());
        open.push_back(std::move(first));
        open.push_back(std::move(second));
    }

    void fill(const Ring& ring)
    {
        std::vector<Vector2d> points;
        for (const int node : ring) points.push_back(at(node));
        const Patch small = fill_small_ring(points);
        const int n = small.n_boundary, first_inner = static_cast<int>(patch_.points.size()) - n;
        patch_.points.insert(patch_.points.end(), small.points.begin() + n, small.points.end());
        for (auto quad : small.quads) {
            for (int& node : quad) node = node < n ? ring[node] : first_inner + node;
            patch_.quads.push_back(quad);
        }
    }

    Patch patch_;
    std::vector<Ring> rings_;
};

} // namespace

std::optional<Patch> patch_by_splitting(const Region& region)
{
    return Splitter(region).run();
}

} // namespace stillwall::mesh
