#include "mesh/gmsh/internal/curve.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

Vector2d polar(double angle)
{
    return {std::cos(angle), std::sin(angle)};
}

Curve arc(int owner, const Vector2d& centre, double radius, double start, double sweep)
{
    Curve c;
    c.role = Role::Rim;
    c.owner = owner;
    c.is_arc = true;
    c.centre = centre;
    c.radius = radius;
    c.start = start;
    c.sweep = sweep;
    c.a = c.at(0);
    c.b = c.at(1);
    return c;
}

/// Half sizes of the opening's box and the radius of its corners.
struct RoundBox
{
    Vector2d half;
    double radius;
};

RoundBox round_box(const Opening& o)
{
    const Vector2d half(o.width / 2, (o.shape == OpeningPlan::Shape::Circle ? o.width : o.height) / 2);
    switch (o.shape) {
    case OpeningPlan::Shape::Circle:
    case OpeningPlan::Shape::Slot:
        return {half, half.minCoeff()};
    case OpeningPlan::Shape::RoundedRectangle:
        return {half, std::min(o.corner_radius, half.minCoeff())};
    case OpeningPlan::Shape::Rectangle:
        break;
    }
    return {half, 0};
}

void cross_lines(const Curve& p, const Curve& q, double slack, std::vector<Vector2d>& out)
{
    const Vector2d u = p.b - p.a, v = q.b - q.a;
    const double lu = u.norm(), lv = v.norm(), det = cross(u, v);
    if (std::abs(det) <= 0.02 * lu * lv) return;
    const double t = cross(q.a - p.a, v) / det, s = cross(q.a - p.a, u) / det;
    if (t * lu < -slack || (t - 1) * lu > slack || s * lv < -slack || (s - 1) * lv > slack) return;
    out.emplace_back(p.a + t * u);
}

void cross_arc(const Curve& line, const Curve& arc, double slack, std::vector<Vector2d>& out)
{
    const Vector2d u = (line.b - line.a).normalized(), w = line.a - arc.centre;
    const double half = u.dot(w), disc = half * half - w.squaredNorm() + arc.radius * arc.radius;
    if (disc <= 0) return;
    for (const double sign : {-1.0, 1.0}) {
        const double s = -half + sign * std::sqrt(disc);
        if (s < -slack || s > line.length() + slack) continue;
        const Vector2d x = line.a + s * u;
        if ((arc.at(arc.project(x)) - x).norm() < slack) out.push_back(x);
    }
}

} // namespace

Vector2d Curve::at(double t) const
{
    return is_arc ? Vector2d(centre + radius * polar(start + t * sweep)) : Vector2d(a + t * (b - a));
}

double Curve::project(const Vector2d& p) const
{
    if (!is_arc) {
        const Vector2d u = b - a;
        return std::clamp((p - a).dot(u) / u.squaredNorm(), 0.0, 1.0);
    }
    const Vector2d d = p - centre;
    double turn = std::remainder(std::atan2(d.y(), d.x()) - start, 2 * pi);
    if (turn < 0) turn += 2 * pi;
    if (turn <= sweep) return turn / sweep;
    return turn - sweep < 2 * pi - turn ? 1.0 : 0.0;
}

Curve straight(Role role, int owner, const Vector2d& a, const Vector2d& b)
{
    Curve c;
    c.role = role;
    c.owner = owner;
    c.a = a;
    c.b = b;
    return c;
}

std::vector<Vector2d> crossings(const Curve& p, const Curve& q, double slack)
{
    std::vector<Vector2d> out;
    if (p.is_arc && q.is_arc) return out; // rims do not overlap
    if (p.is_arc)
        cross_arc(q, p, slack, out);
    else if (q.is_arc)
        cross_arc(p, q, slack, out);
    else
        cross_lines(p, q, slack, out);
    return out;
}

std::vector<Curve> rim_of(const Opening& opening, int index)
{
    std::vector<Curve> rim;
    const RoundBox box = round_box(opening);
    const Vector2d core = (box.half.array() - box.radius).max(0.0);
    if (core.maxCoeff() < 1e-9) {
        rim.push_back(arc(index, opening.centre, box.radius, 0, 2 * pi));
        return rim;
    }
    const Vector2d e1 = polar(opening.rotation), e2(-e1.y(), e1.x());
    const Vector2d sign[4] = {{1, 1}, {-1, 1}, {-1, -1}, {1, -1}};
    for (int k = 0; k < 4; ++k) {
        // Corner k, then the straight piece to corner k + 1. A slot's end is one half circle, made by two corners.
        const auto place = [&](const Vector2d& q) { return Vector2d(opening.centre + q.x() * e1 + q.y() * e2); };
        const Vector2d here = sign[k].cwiseProduct(core), next = sign[(k + 1) % 4].cwiseProduct(core);
        if (box.radius > 0) rim.push_back(arc(index, place(here), box.radius, opening.rotation + k * pi / 2, pi / 2));
        if ((next - here).norm() < 1e-9) continue;
        const Vector2d out = box.radius * (k % 2 == 0 ? Vector2d(0, sign[k].y()) : Vector2d(sign[k].x(), 0));
        rim.push_back(straight(Role::Rim, index, place(here + out), place(next + out)));
    }
    return rim;
}

double signed_distance(const Opening& opening, const Vector2d& p)
{
    const Vector2d e1 = polar(opening.rotation), e2(-e1.y(), e1.x()), d = p - opening.centre;
    const RoundBox box = round_box(opening);
    const Vector2d q = Vector2d(std::abs(d.dot(e1)), std::abs(d.dot(e2))) - (box.half - Vector2d::Constant(box.radius));
    return q.cwiseMax(0.0).norm() + std::min(q.maxCoeff(), 0.0) - box.radius;
}

Vector2d nearest_on_rim(const Opening& opening, const Vector2d& p)
{
    Vector2d best = p;
    double distance = std::numeric_limits<double>::max();
    for (const Curve& c : rim_of(opening, 0)) {
        const Vector2d x = c.at(c.project(p));
        if ((x - p).norm() < distance) {
            distance = (x - p).norm();
            best = x;
        }
    }
    return best;
}

std::optional<Cut> cut_by(const Opening& opening, const Vector2d& a, const Vector2d& b, double gap, double max_lean)
{
    const auto f = [&](double t) { return signed_distance(opening, a + t * (b - a)); };
    double lo = 0, hi = 1;
    for (int k = 0; k < 80; ++k) { // ternary search: f is convex
        const double m1 = lo + (hi - lo) / 3, m2 = hi - (hi - lo) / 3;
        (f(m1) < f(m2) ? hi : lo) = f(m1) < f(m2) ? m2 : m1;
    }
    const double mid = (lo + hi) / 2;
    if (f(mid) >= gap) return std::nullopt;

    const auto level = [&](double outer, double value) { // f falls from the end `outer` to `mid`
        if (f(outer) <= value) return outer;
        double far = outer, near = mid;
        for (int k = 0; k < 60; ++k) (f((far + near) / 2) > value ? far : near) = (far + near) / 2;
        return (far + near) / 2;
    };
    const Vector2d along = (b - a).normalized();
    const auto meets_squarely = [&](double t) {
        const Vector2d p = a + t * (b - a);
        const double e = 1e-6;
        const Vector2d slope(
            signed_distance(opening, p + Vector2d(e, 0)) - signed_distance(opening, p - Vector2d(e, 0)),
            signed_distance(opening, p + Vector2d(0, e)) - signed_distance(opening, p - Vector2d(0, e)));
        return std::abs(slope.normalized().dot(along)) >= std::cos(max_lean);
    };
    const auto end = [&](double outer, double& t, bool& has_spoke) {
        t = f(mid) < 0 ? level(outer, 0) : level(outer, gap);
        if (f(mid) < 0 && (t == outer || meets_squarely(t))) return;
        t = level(outer, gap);
        has_spoke = t != outer;
    };
    Cut cut;
    end(0, cut.from, cut.has_spoke_from);
    end(1, cut.to, cut.has_spoke_to);
    return cut;
}

bool is_inside(const std::vector<Vector2d>& polygon, const Vector2d& p)
{
    bool inside = false;
    for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
        const Vector2d &a = polygon[i], &b = polygon[j];
        if ((a.y() > p.y()) != (b.y() > p.y()) && p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
            inside = !inside;
    }
    return inside;
}

} // namespace stillwall::mesh
