#include "mesh/cabinet/polygon.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillwall {
namespace {

// Lengths below this are round-off of coordinates of a few metres, not geometry [m].
constexpr double round_off = 1e-9;

double cross(const Vector2d& a, const Vector2d& b)
{
    return a.x() * b.y() - a.y() * b.x();
}

const Vector2d& next(const Polygon& polygon, std::size_t i)
{
    return polygon[(i + 1) % polygon.size()];
}

Vector2d nearest_on_segment(const Vector2d& a, const Vector2d& b, const Vector2d& p)
{
    const Vector2d ab = b - a;
    const double length2 = ab.squaredNorm();
    if (length2 == 0) return a;
    return a + std::clamp((p - a).dot(ab) / length2, 0.0, 1.0) * ab;
}

// Whether the open segments cross in a single point interior to both.
bool cross_properly(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d)
{
    const double scale = std::max((b - a).norm(), (d - c).norm());
    const double tolerance = round_off * scale;
    const double c_side = cross(b - a, c - a), d_side = cross(b - a, d - a);
    const double a_side = cross(d - c, a - c), b_side = cross(d - c, b - c);
    const auto opposite = [&](double u, double v) {
        return (u > tolerance && v < -tolerance) || (u < -tolerance && v > tolerance);
    };
    return opposite(c_side, d_side) && opposite(a_side, b_side);
}

std::vector<Interval> shifted_line_inside(const Polygon& polygon, const Vector2d& origin, const Vector2d& direction)
{
    const Vector2d normal(-direction.y(), direction.x());
    std::vector<double> hits;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const double h0 = normal.dot(polygon[i] - origin), h1 = normal.dot(next(polygon, i) - origin);
        // Half-open rule: a corner on the line belongs to the upper side, so every pass counts once.
        if ((h0 >= 0) == (h1 >= 0)) continue;
        const double s = h0 / (h0 - h1);
        hits.push_back(direction.dot(polygon[i] + s * (next(polygon, i) - polygon[i]) - origin));
    }
    std::sort(hits.begin(), hits.end());
    std::vector<Interval> inside;
    for (std::size_t i = 0; i + 1 < hits.size(); i += 2) inside.emplace_back(hits[i], hits[i + 1]);
    return inside;
}

std::vector<Interval> united(std::vector<Interval> all)
{
    std::sort(all.begin(), all.end());
    std::vector<Interval> result;
    for (const Interval& interval : all) {
        if (!result.empty() && interval.first <= result.back().second)
            result.back().second = std::max(result.back().second, interval.second);
        else
            result.push_back(interval);
    }
    return result;
}

// A run of sides on the kept side of a cut, from where the boundary comes in to where it goes out; the
// last side is the new one along the cut.
struct Run
{
    EdgedPolygon part;
    double in_at = 0, out_at = 0; // along the cut
    bool is_used = false;
};

// Along the cut, the stretches inside the polygon lie between 1st and 2nd, 3rd and 4th crossing …: from
// each way out the new side leads to the run at the other end of its stretch.
std::vector<std::size_t> following_runs(const std::vector<Run>& runs)
{
    std::vector<std::pair<double, std::size_t>> ends; // position, 2·run (in) or 2·run + 1 (out)
    for (std::size_t r = 0; r < runs.size(); ++r) {
        ends.emplace_back(runs[r].in_at, 2 * r);
        ends.emplace_back(runs[r].out_at, 2 * r + 1);
    }
    std::stable_sort(ends.begin(), ends.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::size_t> following(runs.size());
    for (std::size_t k = 0; k + 1 < ends.size(); k += 2) {
        const std::size_t a = ends[k].second, b = ends[k + 1].second;
        if (a % 2 == 1) following[a / 2] = b / 2;
        if (b % 2 == 1) following[b / 2] = a / 2;
    }
    return following;
}

std::vector<EdgedPolygon> joined(std::vector<Run> runs)
{
    const std::vector<std::size_t> following = following_runs(runs);
    std::vector<EdgedPolygon> parts;
    for (std::size_t first = 0; first < runs.size(); ++first) {
        EdgedPolygon part;
        for (std::size_t r = first; !runs[r].is_used; r = following[r]) {
            runs[r].is_used = true;
            const EdgedPolygon& run = runs[r].part;
            part.corners.insert(part.corners.end(), run.corners.begin(), run.corners.end());
            part.edge_on.insert(part.edge_on.end(), run.edge_on.begin(), run.edge_on.end());
        }
        part = tidied(part);
        if (part.corners.size() >= 3 && signed_area(part.corners) > round_off) parts.push_back(std::move(part));
    }
    return parts;
}

} // namespace

double signed_area(const Polygon& polygon)
{
    double twice = 0;
    // Relative to the first corner, so that far-off polygons keep their digits.
    for (std::size_t i = 0; i < polygon.size(); ++i)
        twice += cross(polygon[i] - polygon[0], next(polygon, i) - polygon[0]);
    return 0.5 * twice;
}

Bounds2 bounds(const Polygon& polygon)
{
    if (polygon.empty()) return {};
    Bounds2 box{polygon[0], polygon[0]};
    for (const Vector2d& p : polygon) {
        box.low = box.low.cwiseMin(p);
        box.high = box.high.cwiseMax(p);
    }
    return box;
}

bool is_simple(const Polygon& polygon)
{
    const std::size_t n = polygon.size();
    if (n < 3) return false;
    for (std::size_t i = 0; i < n; ++i) {
        if ((next(polygon, i) - polygon[i]).norm() < round_off) return false;
        // Neighbours that fold back onto each other share more than their corner.
        const Vector2d u = (next(polygon, i) - polygon[i]).normalized();
        const Vector2d v = (polygon[(i + 2) % n] - next(polygon, i)).normalized();
        if (u.dot(v) < 0 && std::abs(cross(u, v)) < round_off) return false;
        for (std::size_t j = i + 2; j < n; ++j) {
            if (i == 0 && j == n - 1) continue;
            if (segment_distance(polygon[i], next(polygon, i), polygon[j], next(polygon, j)) < round_off) return false;
        }
    }
    return true;
}

bool contains(const Polygon& polygon, const Vector2d& point)
{
    bool inside = false;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d &a = polygon[i], &b = next(polygon, i);
        if ((a.y() > point.y()) == (b.y() > point.y())) continue;
        if (point.x() < a.x() + (point.y() - a.y()) / (b.y() - a.y()) * (b.x() - a.x())) inside = !inside;
    }
    return inside;
}

Vector2d interior_point(const Polygon& polygon)
{
    // Middles of the chords through the polygon at a few heights; the one farthest from the boundary wins.
    const Bounds2 box = bounds(polygon);
    Vector2d best = box.middle();
    double best_distance = -1;
    constexpr int n_heights = 9;
    for (int k = 1; k <= n_heights; ++k) {
        const Vector2d start(0, box.low.y() + box.size().y() * k / (n_heights + 1));
        for (const Interval& chord : shifted_line_inside(polygon, start, Vector2d::UnitX())) {
            const Vector2d middle = start + 0.5 * (chord.first + chord.second) * Vector2d::UnitX();
            const double distance = distance_to_boundary(polygon, middle);
            if (distance > best_distance) {
                best_distance = distance;
                best = middle;
            }
        }
    }
    return best;
}

Vector2d nearest_on_boundary(const Polygon& polygon, const Vector2d& point)
{
    Vector2d best = point;
    double best_distance = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d q = nearest_on_segment(polygon[i], next(polygon, i), point);
        if ((q - point).norm() < best_distance) {
            best_distance = (q - point).norm();
            best = q;
        }
    }
    return best;
}

double distance_to_boundary(const Polygon& polygon, const Vector2d& point)
{
    return (nearest_on_boundary(polygon, point) - point).norm();
}

double segment_distance(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d)
{
    if (cross_properly(a, b, c, d)) return 0;
    return std::min({(nearest_on_segment(a, b, c) - c).norm(), (nearest_on_segment(a, b, d) - d).norm(),
                     (nearest_on_segment(c, d, a) - a).norm(), (nearest_on_segment(c, d, b) - b).norm()});
}

std::vector<Interval> line_inside(const Polygon& polygon, const Vector2d& origin, const Vector2d& direction,
                                  bool with_boundary)
{
    // The line just above and just below: what runs along a side is inside on one of them only.
    const Vector2d shift = 10 * round_off * Vector2d(-direction.y(), direction.x());
    std::vector<Interval> above = shifted_line_inside(polygon, origin + shift, direction);
    const std::vector<Interval> below = shifted_line_inside(polygon, origin - shift, direction);
    if (!with_boundary) return common(above, below);
    above.insert(above.end(), below.begin(), below.end());
    return united(above);
}

std::vector<Interval> common(const std::vector<Interval>& a, const std::vector<Interval>& b)
{
    std::vector<Interval> result;
    for (const Interval& u : a) {
        for (const Interval& v : b) {
            const double low = std::max(u.first, v.first), high = std::min(u.second, v.second);
            if (low < high) result.emplace_back(low, high);
        }
    }
    std::sort(result.begin(), result.end());
    return result;
}

namespace {

/// Whether a side of `inner` runs through the inside of `outer`.
bool runs_through(const Polygon& outer, const Polygon& inner)
{
    constexpr double hair = 1e-6; // [m]
    for (std::size_t i = 0; i < inner.size(); ++i) {
        const Vector2d &from = inner[i], &to = inner[(i + 1) % inner.size()];
        const double length = (to - from).norm();
        const std::vector<Interval> inside = line_inside(outer, from, (to - from) / length, false);
        for (const Interval& part : common(inside, {{0.0, length}}))
            if (part.second - part.first > hair) return true;
    }
    return false;
}

} // namespace

bool overlap(const Polygon& a, const Polygon& b)
{
    // Also when sides of both lie in one line: then a side of one runs through the other, or they are the same.
    return runs_through(a, b) || runs_through(b, a) || contains(b, interior_point(a));
}

std::vector<Interval> without(const std::vector<Interval>& from, const std::vector<Interval>& taken)
{
    std::vector<Interval> rest = from;
    for (const Interval& hole : taken) {
        std::vector<Interval> left;
        for (const Interval& part : rest) {
            if (part.first < hole.first) left.emplace_back(part.first, std::min(part.second, hole.first));
            if (part.second > hole.second) left.emplace_back(std::max(part.first, hole.second), part.second);
        }
        rest = std::move(left);
    }
    return rest;
}

std::vector<EdgedPolygon> clip(const EdgedPolygon& polygon, const Vector2d& normal, double offset, int new_edge)
{
    const Polygon& p = polygon.corners;
    const std::size_t n = p.size();
    std::vector<double> height(n);
    for (std::size_t i = 0; i < n; ++i) {
        height[i] = normal.dot(p[i]) - offset;
        if (std::abs(height[i]) < round_off) height[i] = 0;
    }
    const auto is_in = [&](std::size_t i) { return height[i % n] <= 0; };
    if (std::all_of(height.begin(), height.end(), [](double h) { return h <= 0; })) return {polygon};

    const Vector2d along(-normal.y(), normal.x());
    const auto crossing = [&](std::size_t i) -> Vector2d {
        const double s = height[i] / (height[i] - height[(i + 1) % n]);
        return p[i] + s * (p[(i + 1) % n] - p[i]);
    };
    std::vector<Run> runs;
    for (std::size_t start = 0; start < n; ++start) {
        if (is_in(start) || !is_in(start + 1)) continue;
        Run run;
        const Vector2d entry = crossing(start);
        run.in_at = along.dot(entry);
        run.part = {{entry}, {polygon.edge_on[start]}};
        std::size_t i = start + 1;
        for (; is_in(i); ++i) {
            run.part.corners.push_back(p[i % n]);
            run.part.edge_on.push_back(polygon.edge_on[i % n]);
        }
        const Vector2d exit = crossing((i - 1) % n);
        run.out_at = along.dot(exit);
        run.part.corners.push_back(exit);
        run.part.edge_on.push_back(new_edge);
        runs.push_back(std::move(run));
    }
    return joined(std::move(runs));
}

EdgedPolygon tidied(const EdgedPolygon& polygon)
{
    EdgedPolygon result;
    const std::size_t n = polygon.corners.size();
    for (std::size_t i = 0; i < n; ++i) {
        // A side of no length goes with its mark; its start corner stands for both.
        if ((next(polygon.corners, i) - polygon.corners[i]).norm() < 10 * round_off) continue;
        result.corners.push_back(polygon.corners[i]);
        result.edge_on.push_back(polygon.edge_on[i]);
    }
    for (std::size_t i = 0; i < result.corners.size() && result.corners.size() > 3;) {
        const std::size_t m = result.corners.size(), before = (i + m - 1) % m;
        const Vector2d u = (result.corners[i] - result.corners[before]).normalized();
        const Vector2d v = (next(result.corners, i) - result.corners[i]).normalized();
        const bool is_straight = std::abs(cross(u, v)) < 1e-9 && u.dot(v) > 0;
        if (is_straight && result.edge_on[before] == result.edge_on[i]) {
            result.corners.erase(result.corners.begin() + static_cast<std::ptrdiff_t>(i));
            result.edge_on.erase(result.edge_on.begin() + static_cast<std::ptrdiff_t>(i));
        } else {
            ++i;
        }
    }
    return result;
}

} // namespace stillwall
