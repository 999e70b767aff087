#include "mesh/cabinet/polygon_notch.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

constexpr double round_off = 1e-9; // [m]

double cross(const Vector2d& a, const Vector2d& b)
{
    return a.x() * b.y() - a.y() * b.x();
}

const Vector2d& next(const Polygon& polygon, std::size_t i)
{
    return polygon[(i + 1) % polygon.size()];
}

/// Where along a polygon's boundary, from its first corner on, a point of it lies [m].
double place_on_boundary(const Polygon& polygon, const Vector2d& point)
{
    double before = 0, nearest = 1e300, place = 0;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d &a = polygon[i], &b = next(polygon, i);
        const double length = (b - a).norm(), along = std::clamp((point - a).dot(b - a) / length, 0.0, length);
        const double off = (a + along / length * (b - a) - point).norm();
        if (off < nearest) {
            nearest = off;
            place = before + along;
        }
        before += length;
    }
    return place;
}

/// Corners passed when a polygon's boundary is walked clockwise from one point of it to another.
Polygon clockwise_between(const Polygon& polygon, const Vector2d& from, const Vector2d& to)
{
    double whole = 0;
    std::vector<double> corner_at;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        corner_at.push_back(whole);
        whole += (next(polygon, i) - polygon[i]).norm();
    }
    const double start = place_on_boundary(polygon, from);
    const auto walked = [&](double place) { return std::fmod(start - place + 2 * whole, whole); };
    const double end = walked(place_on_boundary(polygon, to));
    std::vector<std::pair<double, Vector2d>> passed;
    for (std::size_t i = 0; i < polygon.size(); ++i)
        if (const double at = walked(corner_at[i]); at > 0 && at < end) passed.emplace_back(at, polygon[i]);
    std::sort(passed.begin(), passed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    Polygon corners;
    for (const auto& [at, corner] : passed) corners.push_back(corner);
    return corners;
}

} // namespace

std::optional<EdgedPolygon> notched(const EdgedPolygon& polygon, const Polygon& convex, int new_edge)
{
    const Polygon& p = polygon.corners;
    const std::size_t n = p.size();
    std::vector<std::optional<Interval>> inside(n);
    std::vector<double> length(n);
    for (std::size_t i = 0; i < n; ++i) {
        length[i] = (next(p, i) - p[i]).norm();
        const auto parts =
            common(line_inside(convex, p[i], (next(p, i) - p[i]) / length[i], false), {{0.0, length[i]}});
        if (!parts.empty() && parts.front().second - parts.front().first > round_off) inside[i] = parts.front();
    }
    const auto goes_on = [&](std::size_t i) { // into the next side
        const auto &here = inside[i % n], &there = inside[(i + 1) % n];
        return here && there && here->second > length[i % n] - round_off && there->first < round_off;
    };
    std::vector<std::size_t> firsts;
    for (std::size_t i = 0; i < n; ++i)
        if (inside[i] && !goes_on(i + n - 1)) firsts.push_back(i);
    if (firsts.size() != 1) return std::nullopt;
    const std::size_t first = firsts.front();
    std::size_t last = first;
    while (goes_on(last)) ++last;
    const auto point = [&](std::size_t side, double along) -> Vector2d {
        return p[side % n] + along / length[side % n] * (next(p, side % n) - p[side % n]);
    };
    const Vector2d in = point(first, inside[first]->first), out = point(last, inside[last % n]->second);
    EdgedPolygon rest{{out}, {polygon.edge_on[last % n]}};
    for (std::size_t i = last + 1; i <= first + n; ++i) {
        rest.corners.push_back(p[i % n]);
        rest.edge_on.push_back(polygon.edge_on[i % n]);
    }
    rest.corners.push_back(in);
    rest.edge_on.push_back(new_edge);
    for (const Vector2d& corner : clockwise_between(convex, in, out)) {
        rest.corners.push_back(corner);
        rest.edge_on.push_back(new_edge);
    }
    rest = tidied(rest);
    if (rest.corners.size() < 3 || signed_area(rest.corners) <= 0) return std::nullopt;
    return rest;
}

Polygon convex_hull(Polygon points)
{
    constexpr double no_turn = 1e-12; // [m²] round-off: points in one place or one line make no corner
    std::sort(points.begin(), points.end(),
              [](const Vector2d& a, const Vector2d& b) { return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y(); });
    Polygon chain;
    for (int pass = 0; pass < 2; ++pass) {
        const std::size_t start = chain.size();
        for (const Vector2d& p : points) {
            while (chain.size() >= start + 2 &&
                   cross(chain.back() - chain[chain.size() - 2], p - chain[chain.size() - 2]) <= no_turn)
                chain.pop_back();
            chain.push_back(p);
        }
        chain.pop_back();
        std::reverse(points.begin(), points.end());
    }
    return chain;
}

} // namespace stillwall
