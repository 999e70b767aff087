#include "mesh/gmsh/internal/patch.h"

#include "mesh/gmsh/internal/curve.h"
#include "mesh/gmsh/internal/improve.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

constexpr double good_enough = 0.75; ///< around nodes whose elements are all above this nothing is searched

class Smoother
{
public:
    explicit Smoother(Patch& patch) : patch_(patch), around_(patch.points.size())
    {
        for (int q = 0; q < static_cast<int>(patch.quads.size()); ++q)
            for (const int node : patch.quads[q]) around_[node].push_back(q);
    }

    void run()
    {
        const int first = patch_.n_boundary, last = static_cast<int>(patch_.points.size());
        for (int round = 0; round < 20; ++round) {
            bool is_moved = false;
            for (int node = first; node < last; ++node) is_moved |= improve(node);
            if (!is_moved) break;
        }
    }

private:
    [[nodiscard]] double worst(int node) const
    {
        double w = 1;
        for (const int q : around_[node]) {
            const auto& n = patch_.quads[q];
            w = std::min(w,
                         shape({patch_.points[n[0]], patch_.points[n[1]], patch_.points[n[2]], patch_.points[n[3]]}));
        }
        return w;
    }

    /// Tries the middle of the neighbours and eight small steps.
    bool improve(int node)
    {
        const double before = worst(node);
        if (before > good_enough || around_[node].empty()) return false;
        Vector2d& x = patch_.points[node];
        const Vector2d start = x;
        Vector2d middle = Vector2d::Zero();
        double size = 1e300;
        for (const int q : around_[node])
            for (const int other : patch_.quads[q]) {
                middle += patch_.points[other];
                if (other != node) size = std::min(size, (patch_.points[other] - x).norm());
            }
        middle /= 4.0 * static_cast<double>(around_[node].size());
        std::vector<Vector2d> places{middle};
        for (const double step : {0.3, 0.1})
            for (int k = 0; k < 8; ++k)
                places.emplace_back(start + step * size * Vector2d(std::cos(k * pi / 4), std::sin(k * pi / 4)));
        return move_to_best(
            x, before, [&] { return worst(node); }, places);
    }

    Patch& patch_;
    std::vector<std::vector<int>> around_; ///< [node] quads
};

} // namespace

double shape(const std::array<Vector2d, 4>& p)
{
    double sine = 1, low = 1e300, high = 0;
    for (int c = 0; c < 4; ++c) {
        const Vector2d u = p[(c + 1) % 4] - p[c], v = p[(c + 3) % 4] - p[c];
        const double corner = cross(u, v);
        sine = std::min(sine, corner / (u.norm() * v.norm() + 1e-30));
        low = std::min(low, corner);
        high = std::max(high, corner);
    }
    return low <= 0 ? sine - 1 : std::min(sine, 1.5 * low / high);
}

double worst_shape(const Patch& patch)
{
    double w = 1;
    for (const auto& n : patch.quads)
        w = std::min(w, shape({patch.points[n[0]], patch.points[n[1]], patch.points[n[2]], patch.points[n[3]]}));
    return w;
}

void smooth(Patch& patch)
{
    Smoother(patch).run();
}

} // namespace stillwall::mesh
