#include "mesh/gmsh/internal/curve.h"
#include "mesh/gmsh/internal/patch.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::mesh {

namespace {

using Triangle = std::array<int, 3>; ///< anticlockwise
using Side = std::pair<int, int>;    ///< ascending

Side side(int a, int b)
{
    return {std::min(a, b), std::max(a, b)};
}

/// Smallest sine of a corner, negative when it is folded over.
double goodness(const Vector2d& a, const Vector2d& b, const Vector2d& c)
{
    const double twice = cross(b - a, c - a), ab = (b - a).norm(), bc = (c - b).norm(), ca = (a - c).norm();
    return twice / std::max({ab * bc, bc * ca, ca * ab, 1e-30});
}

/// Triangles over a region between every second of its boundary nodes, which are the vertices; the others are the
/// middles of the boundary's sides.
class Triangulation
{
public:
    explicit Triangulation(const Region& region) : points_(region.points), size_(region.points.size(), 0) {}

    /// False when a loop is too short for that, or the region is no plane one.
    bool build(const std::vector<std::vector<int>>& loops)
    {
        std::vector<std::vector<int>> rings;
        for (const auto& loop : loops) {
            if (loop.size() % 2 != 0 || loop.size() < 6) return false;
            rings.emplace_back();
            for (std::size_t k = 0; k < loop.size(); k += 2) {
                const int a = loop[k], b = loop[(k + 2) % loop.size()];
                middle_[side(a, b)] = loop[k + 1];
                rings.back().push_back(a);
                for (const int v : {a, b}) size_[v] = std::max(size_[v], (points_[a] - points_[b]).norm());
            }
        }
        while (rings.size() > 1) tie_nearest(rings);
        if (!clip_ears(std::move(rings.front()))) return false;
        flip_all();
        return true;
    }

    /// Halves sides inside that are long for the boundary about them, the longest first.
    void refine()
    {
        constexpr int most_rounds = 12; // each halves what is too long
        for (int round = 0; round < most_rounds; ++round) {
            std::vector<std::pair<double, Side>> longs;
            const auto beside = neighbours();
            for (const auto& [s, unused] : beside)
                if (const double ratio = 2 * length(s) / (size_[s.first] + size_[s.second]);
                    ratio > 1.5 && !middle_.contains(s))
                    longs.emplace_back(-ratio, s);
            if (longs.empty()) return;
            std::sort(longs.begin(), longs.end());
            std::vector<bool> is_cut(triangles_.size(), false);
            for (const auto& [unused, s] : longs) {
                const auto& [t, u] = beside.at(s);
                if (is_cut[t] || is_cut[u]) continue;
                is_cut[t] = is_cut[u] = true;
                halve(s, {t, u});
            }
            flip_all();
        }
    }

    [[nodiscard]] Patch thirds(int n_boundary)
    {
        Patch patch;
        patch.n_boundary = n_boundary;
        const auto add = [this](const Vector2d& p) {
            points_.push_back(p);
            return static_cast<int>(points_.size()) - 1;
        };
        for (const Triangle& t : triangles_) {
            std::array<int, 3> m{}; // m[k] between corners k and k + 1
            for (std::size_t k = 0; k < 3; ++k) {
                const int a = t[k], b = t[(k + 1) % 3];
                const auto [it, is_new] = middle_.try_emplace(side(a, b), 0);
                if (is_new) it->second = add((points_[a] + points_[b]) / 2);
                m[k] = it->second;
            }
            const int centre = add((points_[m[0]] + points_[m[1]] + points_[m[2]]) / 3);
            for (std::size_t k = 0; k < 3; ++k) patch.quads.push_back({t[k], m[k], centre, m[(k + 2) % 3]});
        }
        patch.points = points_;
        return patch;
    }

private:
    [[nodiscard]] double length(const Side& s) const { return (points_[s.first] - points_[s.second]).norm(); }

    void tie_nearest(std::vector<std::vector<int>>& rings)
    {
        double best = 1e300;
        std::size_t hole = 1, at_outer = 0, at_hole = 0;
        for (std::size_t r = 1; r < rings.size(); ++r)
            for (std::size_t i = 0; i < rings[0].size(); ++i)
                for (std::size_t k = 0; k < rings[r].size(); ++k)
                    if (const double d = length({rings[0][i], rings[r][k]}); d < best) {
                        best = d;
                        hole = r;
                        at_outer = i;
                        at_hole = k;
                    }
        auto inner = std::move(rings[hole]);
        std::rotate(inner.begin(), inner.begin() + static_cast<std::ptrdiff_t>(at_hole), inner.end());
        inner.push_back(inner.front());
        inner.push_back(rings[0][at_outer]);
        rings[0].insert(rings[0].begin() + static_cast<std::ptrdiff_t>(at_outer) + 1, inner.begin(), inner.end());
        rings.erase(rings.begin() + static_cast<std::ptrdiff_t>(hole));
    }

    bool clip_ears(std::vector<int> ring)
    {
        while (ring.size() >= 3) {
            const std::size_t n = ring.size();
            double best = 1e-6;
            std::size_t ear = n;
            for (std::size_t k = 0; k < n; ++k) {
                const int a = ring[(k + n - 1) % n], b = ring[k], c = ring[(k + 1) % n];
                const double g = goodness(points_[a], points_[b], points_[c]);
                if (g > best && is_ear(ring, {a, b, c})) {
                    best = g;
                    ear = k;
                }
            }
            if (ear == n) return false;
            triangles_.push_back({ring[(ear + n - 1) % n], ring[ear], ring[(ear + 1) % n]});
            ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(ear));
            if (ring.size() == 2) break;
        }
        return !triangles_.empty();
    }

    [[nodiscard]] bool is_ear(const std::vector<int>& ring, const Triangle& t) const
    {
        const Vector2d &a = points_[t[0]], &b = points_[t[1]], &c = points_[t[2]];
        // A vertex on a side counts as inside: what is left behind it would have no area.
        const auto is_left_of = [](const Vector2d& p, const Vector2d& from, const Vector2d& to) {
            return cross(to - from, p - from) >= -1e-4 * (to - from).squaredNorm();
        };
        return std::none_of(ring.begin(), ring.end(), [&](int v) {
            const Vector2d& p = points_[v];
            return v != t[0] && v != t[1] && v != t[2] && is_left_of(p, a, b) && is_left_of(p, b, c) &&
                   is_left_of(p, c, a);
        });
    }

    /// Triangles on both sides of each side inside.
    [[nodiscard]] std::map<Side, std::array<std::size_t, 2>> neighbours() const
    {
        std::map<Side, std::array<std::size_t, 2>> found;
        std::map<Side, std::size_t> open;
        for (std::size_t t = 0; t < triangles_.size(); ++t)
            for (std::size_t k = 0; k < 3; ++k) {
                const Side s = side(triangles_[t][k], triangles_[t][(k + 1) % 3]);
                if (const auto [it, is_new] = open.try_emplace(s, t); !is_new) found[s] = {it->second, t};
            }
        return found;
    }

    static int opposite(const Triangle& t, const Side& s)
    {
        for (const int v : t)
            if (v != s.first && v != s.second) return v;
        return t[0];
    }

    /// Turns sides as long as the worse of the two triangles gains.
    void flip_all()
    {
        for (std::size_t round = 0; round < 50; ++round) {
            bool is_changed = false;
            for (const auto& [s, pair] : neighbours()) {
                if (middle_.contains(s)) continue;
                Triangle &t = triangles_[pair[0]], &u = triangles_[pair[1]];
                if (!has(t, s) || !has(u, s)) continue; // turned in this round
                const int p = opposite(t, s), q = opposite(u, s);
                if (p == q) continue;
                // s.first and s.second lie on the two sides of p–q.
                const bool first_is_left = cross(points_[q] - points_[p], points_[s.first] - points_[p]) > 0;
                const int l = first_is_left ? s.first : s.second, r = first_is_left ? s.second : s.first;
                const Triangle left{p, q, l}, right{q, p, r};
                if (std::min(good(left), good(right)) <= std::min(good(t), good(u)) + 1e-9) continue;
                t = left;
                u = right;
                is_changed = true;
            }
            if (!is_changed) return;
        }
    }

    static bool has(const Triangle& t, const Side& s)
    {
        return std::count_if(t.begin(), t.end(), [&](int v) { return v == s.first || v == s.second; }) == 2;
    }

    [[nodiscard]] double good(const Triangle& t) const { return goodness(points_[t[0]], points_[t[1]], points_[t[2]]); }

    void halve(const Side& s, const std::array<std::size_t, 2>& beside)
    {
        const int m = static_cast<int>(points_.size());
        points_.emplace_back((points_[s.first] + points_[s.second]) / 2);
        size_.push_back((size_[s.first] + size_[s.second]) / 2);
        for (const std::size_t t : beside) {
            Triangle other = triangles_[t];
            std::replace(triangles_[t].begin(), triangles_[t].end(), s.first, m);
            std::replace(other.begin(), other.end(), s.second, m);
            triangles_.push_back(other);
        }
    }

    std::vector<Vector2d> points_;
    std::vector<double> size_; ///< [m] of the sides wanted about a vertex
    std::vector<Triangle> triangles_;
    std::map<Side, int> middle_; ///< of the boundary's sides, later of all
};

} // namespace

std::optional<Patch> patch_by_thirds(const Region& region)
{
    Triangulation triangulation(region);
    if (!triangulation.build(region.loops)) return std::nullopt;
    triangulation.refine();
    return triangulation.thirds(static_cast<int>(region.points.size()));
}

} // namespace stillwall::mesh
