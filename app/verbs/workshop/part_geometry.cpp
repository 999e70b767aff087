#include "app/verbs/workshop/part_geometry.h"

#include "app/write/openings.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

constexpr double to_mm = 1e3;

/// The edge of a hole that is not round, about its centre, anticlockwise.
Contour contour_of(const Opening& o)
{
    using Shape = OpeningPlan::Shape;
    const double w = o.width / 2, h = o.height / 2;
    const double quarter = std::tan(std::atan(1.0) / 2); // tan 22.5°: arcs of 90°
    if (o.shape == Shape::Slot) {
        const double r = std::min(w, h);
        if (w >= h) return {{{-w + r, -r}, {w - r, -r}, {w - r, r}, {-w + r, r}}, {0, 1, 0, 1}};
        return {{{r, -h + r}, {r, h - r}, {-r, h - r}, {-r, -h + r}}, {0, 1, 0, 1}};
    }
    const double r = o.shape == Shape::RoundedRectangle ? std::min({o.corner_radius, w, h}) : 0;
    if (r <= 0) return {{{-w, -h}, {w, -h}, {w, h}, {-w, h}}, {0, 0, 0, 0}};
    return {{{-w + r, -h}, {w - r, -h}, {w, -h + r}, {w, h - r}, {w - r, h}, {-w + r, h}, {-w, h - r}, {-w, -h + r}},
            {0, quarter, 0, quarter, 0, quarter, 0, quarter}};
}

/// Where the line through a point meets a circle, nearest to the point; the foot of its radius where it misses.
Vector2d on_circle(const Vector2d& point, const Vector2d& along, const Vector2d& middle, double radius)
{
    const Vector2d d = along.normalized(), from = point - middle;
    const double b = from.dot(d), rest = b * b - from.squaredNorm() + radius * radius;
    if (!(rest >= 0)) return middle + radius * from.normalized();
    const double t = -b + std::copysign(std::sqrt(rest), b); // the root of the smaller size
    return point + t * d;
}

/// Sides of a flat part that follow a curved wall become arcs: their corners, drawn on facets, go onto the face or the
/// middle of the wall they lie nearest to.
void bend_sides(const Cabinet& cabinet, const Board& board, Polygon& outline, std::vector<double>& bulges)
{
    constexpr double near = 2.5e-3; // [m] a facet's corner may be off the curve
    bulges.assign(outline.size(), 0.0);
    if (std::abs(board.frame.n.z()) < 1 - 1e-9) return;
    for (const Board& wall : cabinet.boards) {
        if (!wall.frame.is_curved()) continue;
        const double sign = std::copysign(1.0, wall.frame.curvature), middle = 1 / std::abs(wall.frame.curvature);
        const Vector2d axis = board.frame.to_board(wall.frame.origin - wall.frame.n / wall.frame.curvature);
        std::vector<double> radius(outline.size(), 0.0); // 0: not on this wall
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const double r = (outline[i] - axis).norm();
            for (const double off : {-0.5, 0.0, 0.5})
                if (const double face = middle + sign * off * wall.thickness(); std::abs(r - face) < near)
                    radius[i] = face;
            const Vector2d p = wall.frame.to_board(board.frame.to_space(outline[i]));
            const Bounds2 reach = bounds(wall.sawn);
            if (p.x() < reach.low.x() - wall.thickness() || p.x() > reach.high.x() + wall.thickness()) radius[i] = 0;
        }
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const std::size_t next = (i + 1) % outline.size();
            if (radius[i] == 0 || radius[i] != radius[next]) continue;
            const Vector2d a = outline[i] - axis, b = outline[next] - axis;
            const double angle = std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
            if (std::abs(angle) > 0.6) continue; // longer than any facet: a straight side between two arcs
            bulges[i] = std::tan(angle / 4);
        }
        const Polygon facets = outline;
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const std::size_t before = (i + outline.size() - 1) % outline.size(), next = (i + 1) % outline.size();
            const bool bends_here = bulges[i] != 0, bent_before = bulges[before] != 0;
            if (radius[i] == 0 || (!bends_here && !bent_before)) continue;
            // Where an arc ends, the straight side beside it keeps its line.
            outline[i] = bends_here && bent_before
                             ? Vector2d(axis + radius[i] * (facets[i] - axis).normalized())
                             : on_circle(facets[i], facets[i] - facets[bends_here ? before : next], axis, radius[i]);
        }
    }
}

/// The line of a plate that stands on a board. On a curved one the first of a level plate's chain of lines stands for
/// all, the others for nothing.
std::optional<std::array<Vector2d, 2>> standing_line(const Cabinet& cabinet, const Board& board, const Junction& j)
{
    const Vector2d a = board.frame.to_board(j.from), b = board.frame.to_board(j.to);
    constexpr double level = 1e-4; // [m]
    if (!board.frame.is_curved() || std::abs(a.y() - b.y()) > level) return {{a, b}};
    double low = std::min(a.x(), b.x()), high = std::max(a.x(), b.x());
    for (const Junction& other : cabinet.junctions) {
        if (other.passing != j.passing || other.ending != j.ending) continue;
        if (&other < &j) return std::nullopt;
        for (const Vector3d& end : {other.from, other.to}) {
            low = std::min(low, board.frame.to_board(end).x());
            high = std::max(high, board.frame.to_board(end).x());
        }
    }
    return {{Vector2d(low, a.y()), Vector2d(high, a.y())}};
}

/// Generators of a curved board on its hollow face, at every eighth of its length: where it is held against a
/// template as it is bent.
void add_bend_marks(const Board& board, const Bounds2& around, PartGeometry& geometry)
{
    if (!board.frame.is_curved()) return;
    constexpr int parts = 8;
    const Vector2d size = around.size() * to_mm;
    for (int i = 1; i < parts; ++i) {
        const double x = size.x() * i / parts;
        geometry.marks.push_back({i == parts / 2 ? "bend, middle" : "bend", {Vector2d(x, 0), Vector2d(x, size.y())}});
    }
}

} // namespace

PartGeometry geometry_of(const WorkshopReport& report, std::size_t part)
{
    const Board& board = report.cabinet.boards.at(part);
    const SawnPart& sawn = report.parts.at(part);
    const Bounds2 around = bounds(sawn.outline);
    const auto drawn = [&](const Vector2d& p) { return Vector2d((p - around.low) * to_mm); };
    PartGeometry geometry;
    geometry.size = around.size() * to_mm;
    Polygon bent = sawn.outline;
    bend_sides(report.cabinet, board, bent, geometry.outline.bulges);
    for (const Vector2d& p : bent) geometry.outline.corners.push_back(drawn(p));
    for (const Opening& o : board.openings) {
        CutOut cut{o.name, opening_size(o), drawn(o.centre), 0, {}};
        if (o.shape == OpeningPlan::Shape::Circle) {
            cut.diameter = o.width * to_mm;
        } else {
            cut.contour = contour_of(o);
            const Eigen::Rotation2Dd turn(o.rotation);
            for (Vector2d& p : cut.contour.corners) p = drawn(o.centre + turn * p);
        }
        geometry.cut_outs.push_back(std::move(cut));
        if (!rebate_region(o).empty())
            geometry.rebates.push_back({drawn(o.centre), *o.insert.body.flange_diameter * to_mm});
        for (const Vector2d& screw : screw_places(o))
            geometry.drills.push_back({drawn(screw), o.insert.body.screws->pilot * to_mm});
    }
    for (const HalvingSlot& slot : sawn.slots) {
        if (!slot.is_through) continue; // else it is part of the outline
        Contour contour;
        for (const Vector2d& p : slot_outline(slot)) contour.corners.push_back(drawn(p));
        contour.bulges.assign(contour.corners.size(), 0.0);
        geometry.slots.push_back(std::move(contour));
    }
    for (const Junction& j : report.cabinet.junctions) {
        if (j.kind != Junction::Kind::Tee || j.passing != static_cast<int>(part)) continue;
        const Board& brace = report.cabinet.board(j.ending);
        const auto line = standing_line(report.cabinet, board, j);
        if (!line) continue;
        const auto& [a, b] = *line;
        const Vector2d along = (b - a).normalized(), across(-along.y(), along.x());
        for (const double side : {-0.5, 0.5}) {
            const Vector2d shift = side * brace.thickness() / std::sin(j.angle) * across;
            geometry.marks.push_back({brace.name, {drawn(a + shift), drawn(b + shift)}});
        }
    }
    add_bend_marks(board, around, geometry);
    return geometry;
}

std::string part_file(const std::string& name)
{
    std::string file = name;
    for (char& c : file)
        if (c == ' ' || c == '.') c = '-';
    return file;
}

} // namespace stillwall::app
