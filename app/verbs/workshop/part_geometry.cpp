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

} // namespace

PartGeometry geometry_of(const WorkshopReport& report, std::size_t part)
{
    const Board& board = report.cabinet.boards.at(part);
    const SawnPart& sawn = report.parts.at(part);
    const Bounds2 around = bounds(sawn.outline);
    const auto drawn = [&](const Vector2d& p) { return Vector2d((p - around.low) * to_mm); };
    PartGeometry geometry;
    geometry.size = around.size() * to_mm;
    for (const Vector2d& p : sawn.outline) geometry.outline.corners.push_back(drawn(p));
    geometry.outline.bulges.assign(sawn.outline.size(), 0.0);
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
        const Vector2d a = board.frame.to_board(j.from), b = board.frame.to_board(j.to);
        const Vector2d along = (b - a).normalized(), across(-along.y(), along.x());
        for (const double side : {-0.5, 0.5}) {
            const Vector2d shift = side * brace.thickness() / std::sin(j.angle) * across;
            geometry.marks.push_back({brace.name, {drawn(a + shift), drawn(b + shift)}});
        }
    }
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
