#include "mesh/gmsh/internal/outer_tidy.h"

#include "mesh/gmsh/internal/improve.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace stillwall::mesh {
namespace {

constexpr double least_joined = 0.3; ///< goodness of a quadrilateral worth two triangles
constexpr double good_enough = 0.7;  ///< around vertices whose facets are all above this nothing is searched

class Tidier
{
public:
    Tidier(std::vector<Facet>& facets, int first_inner, const Vector3d& normal, std::vector<Vector3d>& vertices)
        : facets_(facets), first_inner_(first_inner), normal_(normal), vertices_(vertices)
    {
    }

    /// Triangles in pairs, best first; with `least` of goodness.
    void join(double least)
    {
        struct Pair
        {
            double good;
            std::size_t a, b;
            Facet quad;
        };
        std::map<std::pair<int, int>, std::pair<std::size_t, std::size_t>>
            open; // directed side → triangle and its place
        std::vector<Pair> pairs;
        for (std::size_t f = 0; f < facets_.size(); ++f) {
            const Facet& t = facets_[f];
            if (t[3] >= 0) continue;
            for (std::size_t c = 0; c < 3; ++c) {
                const int from = t[c], to = t[(c + 1) % 3];
                if (const auto it = open.find({to, from}); it != open.end()) {
                    const auto& [other, place] = it->second;
                    const Facet quad{from, facets_[other][(place + 2) % 3], to, t[(c + 2) % 3]};
                    if (const double good = goodness(quad, vertices_, normal_); good > least)
                        pairs.push_back({good, other, f, quad});
                }
                open[{from, to}] = {f, c};
            }
        }
        std::stable_sort(pairs.begin(), pairs.end(), [](const Pair& p, const Pair& q) { return p.good > q.good; });
        std::vector<bool> is_gone(facets_.size(), false);
        for (const Pair& pair : pairs) {
            if (is_gone[pair.a] || is_gone[pair.b] || facets_[pair.a][3] >= 0 || facets_[pair.b][3] >= 0) continue;
            facets_[pair.a] = pair.quad;
            is_gone[pair.b] = true;
        }
        drop(is_gone);
    }

    /// Bad quadrilaterals become triangles again.
    void split(double least)
    {
        const std::size_t n = facets_.size();
        for (std::size_t f = 0; f < n; ++f) {
            const Facet q = facets_[f];
            if (q[3] < 0 || goodness(q, vertices_, normal_) > least) continue;
            const std::array<Facet, 4> half{Facet{q[0], q[1], q[2], -1}, Facet{q[0], q[2], q[3], -1},
                                            Facet{q[1], q[2], q[3], -1}, Facet{q[1], q[3], q[0], -1}};
            const auto worst = [&](std::size_t a) {
                return std::min(goodness(half[a], vertices_, normal_), goodness(half[a + 1], vertices_, normal_));
            };
            const std::size_t a = worst(0) >= worst(2) ? 0 : 2;
            facets_[f] = half[a];
            facets_.push_back(half[a + 1]);
        }
    }

    /// Moves inner vertices to the middle of their neighbours or a small step aside.
    void smooth()
    {
        around_.assign(vertices_.size(), {});
        for (std::size_t f = 0; f < facets_.size(); ++f)
            for (const int v : facets_[f])
                if (v >= 0) around_[static_cast<std::size_t>(v)].push_back(f);
        for (int round = 0; round < 20; ++round) {
            bool is_moved = false;
            for (std::size_t v = static_cast<std::size_t>(first_inner_); v < vertices_.size(); ++v)
                is_moved |= improve(v);
            if (!is_moved) break;
        }
    }

private:
    void drop(const std::vector<bool>& is_gone)
    {
        std::vector<Facet> rest;
        for (std::size_t f = 0; f < facets_.size(); ++f)
            if (!is_gone[f]) rest.push_back(facets_[f]);
        facets_ = std::move(rest);
    }

    [[nodiscard]] double worst(std::size_t v) const
    {
        double least = 1;
        for (const std::size_t f : around_[v]) least = std::min(least, goodness(facets_[f], vertices_, normal_));
        return least;
    }

    bool improve(std::size_t v)
    {
        const double before = worst(v);
        if (before > good_enough || around_[v].empty()) return false;
        Vector3d& x = vertices_[v];
        const Vector3d start = x;
        Vector3d middle = Vector3d::Zero(), across = Vector3d::Zero(); // across: to the nearest neighbour
        double size = 1e300, n = 0;
        for (const std::size_t f : around_[v])
            for (const int other : facets_[f]) {
                if (other < 0 || other == static_cast<int>(v)) continue;
                const Vector3d& p = vertices_[static_cast<std::size_t>(other)];
                middle += p;
                n += 1;
                if ((p - x).norm() < size) across = p - x;
                size = std::min(size, (p - x).norm());
            }
        std::vector<Vector3d> places{middle / n};
        const Vector3d e1 = across, e2 = normal_.cross(across);
        for (const double step : {0.3, 0.1})
            for (int k = 0; k < 8; ++k) {
                const double t = k * std::numbers::pi / 4;
                places.emplace_back(start + step * (std::cos(t) * e1 + std::sin(t) * e2));
            }
        return move_to_best(
            x, before, [&] { return worst(v); }, places);
    }

    std::vector<Facet>& facets_;
    int first_inner_;
    const Vector3d& normal_;
    std::vector<Vector3d>& vertices_;
    std::vector<std::vector<std::size_t>> around_; ///< [vertex] facets
};

} // namespace

void tidy(std::vector<Facet>& facets, int first_inner, const Vector3d& normal, std::vector<Vector3d>& vertices)
{
    Tidier tidier(facets, first_inner, normal, vertices);
    tidier.split(0.1);
    tidier.join(least_joined);
    tidier.smooth();
    tidier.split(0.2);
    tidier.join(least_joined);
    tidier.smooth();
}

} // namespace stillwall::mesh
