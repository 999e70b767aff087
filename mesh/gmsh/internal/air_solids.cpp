#include "mesh/gmsh/internal/air_solids.h"

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>

#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::mesh {
namespace {

namespace occ = gmsh::model::occ;
using Solids = gmsh::vectorpair;

int add_point(const Vector3d& p)
{
    return occ::addPoint(p.x(), p.y(), p.z());
}

int close_loop(const std::vector<int>& points)
{
    std::vector<int> lines;
    for (std::size_t i = 0; i < points.size(); ++i)
        lines.push_back(occ::addLine(points[i], points[(i + 1) % points.size()]));
    return occ::addCurveLoop(lines);
}

int polygon_loop(const Frame& frame, const Polygon& polygon)
{
    std::vector<int> points;
    for (const Vector2d& p : polygon) points.push_back(add_point(frame.to_space(p)));
    return close_loop(points);
}

/// The hole's edge in the plane of `frame`, arcs of at most a quarter circle.
int opening_loop(const Frame& frame, const Opening& opening)
{
    const OpeningCore core = opening_core(opening);
    if (core.radius == 0) return polygon_loop(frame, core.corners);
    const std::size_t n = core.corners.size();
    const int n_arcs = 4 / static_cast<int>(n); // per corner of the core: 4 for a circle, 2 for a slot, 1
    const Vector2d last = n == 1 ? Vector2d::UnitX().eval() : Vector2d(core.corners[0] - core.corners[n - 1]);
    double angle = std::atan2(-last.x(), last.y());
    std::vector<int> curves;
    int first = -1, previous = -1;
    for (const Vector2d& corner : core.corners) {
        const int centre = add_point(frame.to_space(corner));
        for (int k = 0; k <= (n == 1 ? 3 : n_arcs); ++k) {
            const Vector2d at = corner + core.radius * Vector2d(std::cos(angle), std::sin(angle));
            const int point = add_point(frame.to_space(at));
            if (previous >= 0)
                curves.push_back(k == 0 ? occ::addLine(previous, point) : occ::addCircleArc(previous, centre, point));
            else
                first = point;
            previous = point;
            if (k < n_arcs) angle += std::numbers::pi / 2;
        }
        if (n == 1) curves.push_back(occ::addCircleArc(previous, centre, first));
    }
    if (n > 1) curves.push_back(occ::addLine(previous, first));
    return occ::addCurveLoop(curves);
}

/// A flat region swept from height s0 to s1 above the plane of `frame`. `loop` draws it.
template <class Draw> std::pair<int, int> prism(Frame frame, double s0, double s1, Draw loop)
{
    frame.origin += s0 * frame.n;
    const int face = occ::addPlaneSurface({loop(frame)});
    const Vector3d way = (s1 - s0) * frame.n;
    Solids swept;
    occ::extrude({{2, face}}, way.x(), way.y(), way.z(), swept);
    for (const auto& entity : swept)
        if (entity.first == 3) return entity;
    throw std::string("nothing was swept");
}

std::pair<int, int> opening_prism(const Board& board, const Opening& opening, double s0, double s1)
{
    return prism(board.frame, s0, s1, [&](const Frame& f) { return opening_loop(f, opening); });
}

std::pair<int, int> box_prism(const Frame& frame, const Vector2d& low, const Vector2d& high, double s0, double s1)
{
    const Polygon rectangle{low, {high.x(), low.y()}, high, {low.x(), high.y()}};
    return prism(frame, s0, s1, [&](const Frame& f) { return polygon_loop(f, rectangle); });
}

Solids cut(const Solids& from, const Solids& tools)
{
    if (tools.empty()) return from;
    Solids rest;
    std::vector<Solids> map;
    occ::cut(from, tools, rest, map);
    return rest;
}

int draw_hull(const Hull& hull)
{
    const std::size_t n = hull.corners.size();
    std::vector<std::array<int, 2>> points;
    for (const auto& corner : hull.corners) points.push_back({add_point(corner[0]), add_point(corner[1])});
    std::vector<int> upright, lower, upper, faces;
    for (std::size_t k = 0; k < n; ++k) {
        upright.push_back(occ::addLine(points[k][0], points[k][1]));
        lower.push_back(occ::addLine(points[k][0], points[(k + 1) % n][0]));
        upper.push_back(occ::addLine(points[k][1], points[(k + 1) % n][1]));
    }
    for (std::size_t k = 0; k < n; ++k)
        faces.push_back(
            occ::addPlaneSurface({occ::addCurveLoop({lower[k], upright[(k + 1) % n], upper[k], upright[k]})}));
    faces.push_back(occ::addPlaneSurface({occ::addCurveLoop(upper)}));
    faces.push_back(occ::addPlaneSurface({occ::addCurveLoop(lower)}));
    return occ::addVolume({occ::addSurfaceLoop(faces)});
}

/// All space on the +n side of the plane, as far as it matters.
std::pair<int, int> half_space(const Plane& plane, const Vector3d& near, double size)
{
    Frame frame;
    frame.origin = near - plane.height_of(near) * plane.n;
    frame.n = plane.n;
    frame.e1 = plane.n.unitOrthogonal();
    frame.e2 = frame.n.cross(frame.e1);
    return box_prism(frame, {-size, -size}, {size, size}, 0, size);
}

void draw_brace(const Cabinet& cabinet, const AirBrace& brace, double size, Solids& tools)
{
    const Board& board = cabinet.board(brace.board);
    const double half = board.thickness() / 2;
    Solids slab{prism(board.frame, -half, half, [&](const Frame& f) { return polygon_loop(f, brace.region); })};
    Solids taken;
    for (const Plane& plane : brace.cuts) taken.push_back(half_space(plane, board.frame.origin, size));
    for (const Opening& opening : board.openings) {
        // A closed window comes back as a plug of its own, whose outline then shows on the faces.
        taken.push_back(opening_prism(board, opening, -2 * half, 2 * half));
        if (!is_open(opening)) tools.push_back(opening_prism(board, opening, -half, half));
    }
    slab = cut(slab, taken);
    tools.insert(tools.end(), slab.begin(), slab.end());
}

void draw_body(const Cabinet& cabinet, const AirBody& body, Solids& tools)
{
    const Board& board = cabinet.board(body.board);
    const Opening& opening = board.openings[static_cast<std::size_t>(body.opening)];
    const double face = -board.thickness() / 2;
    if (!body.is_round || body.scale_base == body.scale_end) {
        tools.push_back(opening_prism(board, scaled(opening, body.scale_end), face / 2, face - body.depth));
        return;
    }
    // The cone starts inside the board, at the width its sides have there.
    const double slope = (body.scale_end - body.scale_base) / body.depth, start = face / 2;
    const Vector3d from = board.frame.to_space(opening.centre) + start * board.frame.n;
    const Vector3d way = (face - body.depth - start) * board.frame.n;
    tools.emplace_back(3, occ::addCone(from.x(), from.y(), from.z(), way.x(), way.y(), way.z(),
                                       opening.width / 2 * (body.scale_base + slope * face / 2),
                                       opening.width / 2 * body.scale_end));
}

void draw_layer(const Cabinet& cabinet, const AirLayer& layer, Solids& tools)
{
    const Board& board = cabinet.board(layer.board);
    const double side = cabinet.layers[static_cast<std::size_t>(layer.layer)].side;
    // From inside the board, so that faces do not coincide.
    const Solids sheet{prism(board.frame, side * layer.low / 2, side * layer.high,
                             [&](const Frame& f) { return polygon_loop(f, layer.region); })};
    Solids windows;
    for (const Opening& opening : board.openings)
        if (board.kind == Board::Kind::Brace && is_open(opening))
            windows.push_back(opening_prism(board, opening, -2 * layer.high, 2 * layer.high));
    const Solids rest = cut(sheet, windows);
    tools.insert(tools.end(), rest.begin(), rest.end());
}

/// Height [m] of the face that closes a hole of a wall, from the mid-plane inwards: on a layer when one lies there.
double closing_height(const Cabinet& cabinet, const std::vector<AirLayer>& layers, int wall, const Opening& opening)
{
    double height = cabinet.board(wall).thickness() / 2;
    for (const AirLayer& layer : layers)
        if (layer.board == wall && contains(layer.region, opening.centre)) height = std::max(height, layer.high);
    return height;
}

void draw_bars(const Cabinet& cabinet, Solids& tools)
{
    for (const Rod& rod : cabinet.rods) {
        const Vector3d way = rod.to - rod.from;
        if (rod.diameter) {
            tools.emplace_back(3, occ::addCylinder(rod.from.x(), rod.from.y(), rod.from.z(), way.x(), way.y(), way.z(),
                                                   *rod.diameter / 2));
            continue;
        }
        Frame frame;
        const auto [height, width] = section_axes(rod);
        frame.origin = rod.from;
        frame.e1 = width;
        frame.e2 = height;
        frame.n = width.cross(height);
        const Vector2d corner(rod.width / 2, rod.height / 2);
        tools.push_back(box_prism(frame, -corner, corner, 0, way.dot(frame.n)));
    }
    for (const Rib& rib : cabinet.ribs) {
        const Board& board = cabinet.board(rib.board);
        if (board.kind == Board::Kind::Wall && rib.side > 0) continue; // outside
        Frame frame;
        frame.origin = board.frame.to_space(rib.from);
        frame.e1 = (board.frame.to_space(rib.to) - frame.origin).normalized();
        frame.n = rib.side * board.frame.n;
        frame.e2 = frame.n.cross(frame.e1);
        tools.push_back(box_prism(frame, {0, -rib.width / 2}, {(rib.to - rib.from).norm(), rib.width / 2}, 0,
                                  board.thickness() / 2 + rib.height));
    }
}

/// Plugs in the holes of walls that no body covers: they touch the air's face from outside and leave their outline on
/// it.
void draw_plugs(const Cabinet& cabinet, const std::vector<AirBody>& bodies, const std::vector<AirLayer>& layers,
                Solids& tools)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (board.kind != Board::Kind::Wall) continue;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const bool is_covered = std::any_of(bodies.begin(), bodies.end(), [&](const AirBody& body) {
                return body.board == static_cast<int>(b) && body.opening == static_cast<int>(o);
            });
            if (is_covered) continue;
            const double height = closing_height(cabinet, layers, static_cast<int>(b), board.openings[o]);
            tools.push_back(opening_prism(board, board.openings[o], -height, -board.thickness() / 4));
        }
    }
}

} // namespace

std::vector<int> draw_air(const Cabinet& cabinet, const std::vector<AirBrace>& braces,
                          const std::vector<AirBody>& bodies, const std::vector<AirLayer>& layers)
{
    const Hull hull = make_hull(cabinet.boards, Hull::Surface::Inner);
    double size = 0;
    for (const auto& corner : hull.corners) size = std::max(size, (corner[1] - hull.corners[0][0]).norm());
    Solids tools;
    for (const AirBrace& brace : braces) draw_brace(cabinet, brace, 3 * size, tools);
    for (const AirBody& body : bodies) draw_body(cabinet, body, tools);
    for (const AirLayer& layer : layers) draw_layer(cabinet, layer, tools);
    draw_bars(cabinet, tools);
    draw_plugs(cabinet, bodies, layers, tools);
    const Solids air = cut({{3, draw_hull(hull)}}, tools);
    occ::synchronize();
    std::vector<int> volumes;
    for (const auto& [dimension, tag] : air)
        if (dimension == 3) volumes.push_back(tag);
    if (volumes.empty()) throw MeshError("no air is left inside the cabinet");
    return volumes;
}

} // namespace stillwall::mesh
