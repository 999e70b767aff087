#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall {
namespace {

constexpr double least_area = 1e-4; // [m²] smaller patches do nothing

std::string quoted(const std::string& name)
{
    return "'" + name + "'";
}

Polygon grown(const Polygon& polygon, const Vector2d& middle, double factor)
{
    Polygon result;
    for (const Vector2d& corner : polygon) result.push_back(middle + factor * (corner - middle));
    return result;
}

// Centre of area.
Vector2d centroid(const Polygon& polygon)
{
    Vector2d sum = Vector2d::Zero();
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        // From the first corner, so that a polygon far from the origin loses no digits.
        const Vector2d a = polygon[i] - polygon[0], b = polygon[(i + 1) % polygon.size()] - polygon[0];
        sum += (a.x() * b.y() - a.y() * b.x()) / 6 * (a + b);
    }
    return polygon[0] + sum / signed_area(polygon);
}

bool holds(const Polygon& outer, const Polygon& inner)
{
    for (std::size_t i = 0; i < inner.size(); ++i) {
        const Vector2d &a = inner[i], &b = inner[(i + 1) % inner.size()];
        const double length = (b - a).norm();
        double covered = 0;
        for (const Interval& part : common(line_inside(outer, a, (b - a) / length, true), {{0.0, length}}))
            covered += part.second - part.first;
        if (covered < length - 1e-6) return false;
    }
    return true;
}

// The pieces of a polygon inside a convex one, anticlockwise.
std::vector<EdgedPolygon> clipped(const Polygon& polygon, const Polygon& convex)
{
    std::vector<EdgedPolygon> parts{{polygon, std::vector<int>(polygon.size(), 0)}};
    for (std::size_t i = 0; i < convex.size(); ++i) {
        const Vector2d along = (convex[(i + 1) % convex.size()] - convex[i]).normalized();
        const Vector2d outwards(along.y(), -along.x());
        std::vector<EdgedPolygon> kept;
        for (const EdgedPolygon& part : parts) {
            for (EdgedPolygon& piece : clip(part, outwards, outwards.dot(convex[i]), 0))
                kept.push_back(std::move(piece));
        }
        parts = std::move(kept);
    }
    return parts;
}

// Area of a hole that lies in the region [m²].
double shared_area(const Polygon& region, const Opening& opening)
{
    if (contains(region, opening.centre) && land_inside(region, opening) >= 0) return opening_area(opening);
    constexpr int n_arc = 256; // chords; what they lose is given back in proportion
    const Polygon edge = opening_outline(opening, n_arc);
    double area = 0;
    for (const EdgedPolygon& part : clipped(region, edge)) area += signed_area(part.corners);
    return area * opening_area(opening) / signed_area(edge);
}

Polygon rectangle_on(const Cabinet& cabinet, int board, const LayerPlan& item, const std::string& key)
{
    const Board& b = cabinet.board(board);
    const Vector2d from =
        point_on_board(cabinet, board, {item.x1, item.y1, item.z1, item.along1}, item.where, key + ".from");
    const Vector2d to =
        point_on_board(cabinet, board, {item.x2, item.y2, item.z2, item.along2}, item.where, key + ".to");
    const Bounds2 model = bounds(b.outline), sawn = bounds(b.sawn);
    const Vector2d low = model.low.cwiseMin(sawn.low), high = model.high.cwiseMax(sawn.high);
    for (const auto& [corner, which] : {std::pair{from, ".from"}, std::pair{to, ".to"}}) {
        const double off = std::max((low - corner).maxCoeff(), (corner - high).maxCoeff());
        if (!(off <= 1e-6)) throw InputError(item.where, key + which, "lies " + in_mm(off) + " off " + quoted(b.name));
    }
    const Vector2d a = from.cwiseMin(to), c = from.cwiseMax(to);
    if ((c - a).minCoeff() < least_land)
        throw InputError(item.where, key, "the rectangle between from and to is narrower than " + in_mm(least_land));
    return {a, {c.x(), a.y()}, c, {a.x(), c.y()}};
}

Polygon layer_region(const Cabinet& cabinet, const Hull& inner, const LayerPlan& item, const FaceLayer& layer,
                     const std::string& key)
{
    const Polygon face = bonding_face(cabinet, inner, layer.board, layer.side);
    const std::string face_of = std::string(layer.side < 0 ? "inner" : "outer") + " face of " + quoted(item.board);
    if (face.size() < 3) throw InputError(item.where, key, "the " + face_of + " has no room for it");
    const bool is_rectangle =
        item.x1 || item.y1 || item.z1 || item.along1 || item.x2 || item.y2 || item.z2 || item.along2;
    if (!is_rectangle) {
        if (!(item.cover > 0 && item.cover <= 1))
            throw InputError(item.where, key + ".cover", "must lie above 0 % and be 100 % at most");
        const Polygon region = grown(face, centroid(face), std::sqrt(item.cover));
        if (item.cover < 1 && !holds(face, region))
            throw InputError(item.where, key + ".cover",
                             "the " + face_of +
                                 " turns inwards, a share in its middle would leave it; use from and to");
        return region;
    }
    std::vector<EdgedPolygon> parts = clipped(face, rectangle_on(cabinet, layer.board, item, key));
    std::erase_if(parts, [](const EdgedPolygon& part) { return signed_area(part.corners) < least_area; });
    if (parts.empty()) throw InputError(item.where, key, "its rectangle covers nothing of the " + face_of);
    if (parts.size() > 1)
        throw InputError(item.where, key,
                         "its rectangle covers " + std::to_string(parts.size()) + " separate parts of the " + face_of +
                             "; make them layers of their own");
    return tidied(parts.front()).corners;
}

void check_neighbours(const Cabinet& cabinet, const FaceLayer& layer, const std::string& key)
{
    for (const FaceLayer& other : cabinet.layers) {
        if (other.board != layer.board || other.side != layer.side || !overlap(other.region, layer.region)) continue;
        throw InputError(layer.where, key,
                         "overlaps " + quoted(other.name) + " (line " + std::to_string(other.where.line) +
                             ") on the same face of " + quoted(cabinet.board(layer.board).name) +
                             "; move one, or write both as one stack of layers");
    }
}

} // namespace

void add_layers(const CabinetPlan& plan, Cabinet& cabinet)
{
    if (plan.layers.empty()) return;
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    for (const LayerPlan& item : plan.layers) {
        const std::string key = "damping." + item.name;
        FaceLayer layer{item};
        layer.board = find_board(cabinet, item.board, item.where, key + ".board");
        layer.side = item.inside ? -1 : 1;
        const Board& board = cabinet.board(layer.board);
        for (Ply& ply : layer.layup.plies) {
            if (!(ply.thickness > 0)) throw InputError(item.where, key, "a layer must be thicker than 0 mm");
            ply.angle += board.grain;
        }
        const double thickness = layer.layup.thickness();
        if (thickness > board.thickness() + 1e-9)
            throw InputError(item.where, key,
                             "is " + in_mm(thickness) + " thick, more than " + quoted(board.name) + " (" +
                                 in_mm(board.thickness()) +
                                 ") that carries it; write it as a layer of the board itself");
        layer.region = layer_region(cabinet, inner, item, layer, key);
        check_neighbours(cabinet, layer, key);
        layer.area = signed_area(layer.region);
        for (const Opening& opening : board.openings) layer.area -= shared_area(layer.region, opening);
        if (layer.area < least_area) throw InputError(item.where, key, "the openings leave nothing of it");
        cabinet.layers.push_back(std::move(layer));
    }
}

} // namespace stillwall
