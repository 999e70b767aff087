#include "mesh/gmsh/internal/outer_outline.h"

#include "mesh/cabinet/error.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::mesh {
namespace {

using On = OuterMesh::Face::On;
constexpr double pi = std::numbers::pi;
constexpr double least_gap = 2e-4;     ///< [m] nearer than this to the face's edge a hole counts as cutting it
constexpr double thinnest_ring = 0.02; ///< of the hole's width: a thinner ring round a cone is given to the board
constexpr double longest_side = 4;     ///< sides of a rim in lands beside it …
constexpr int most_for_land = 24;      ///< … as far as that takes no more sides than these
constexpr int most_for_ring = 16;      ///< likewise, in widths of the ring round a cone
constexpr int least_of_insert = 8;     ///< sides of a round plate: nothing is steep there
constexpr double kept_land = 3e-3;     ///< [m] that widening a mouth by its flare leaves

/// A shape whose edge lies `radius` round a core.
struct Shape
{
    OpeningCore core;
    double area, perimeter; ///< [m²], [m] of the round shape

    explicit Shape(OpeningCore of)
        : core(std::move(of)), area(grown_area(core)), perimeter(stillwall::perimeter(core) + 2 * pi * core.radius)
    {
    }
};

/// Into how many straight sides each part of a shape's edge is cut.
struct Division
{
    int per_arc = 0; ///< 0: the arc gives way to a sharp corner
    std::vector<int> per_side;
};

Division divide(const Shape& shape, double size)
{
    const std::size_t n = shape.core.corners.size();
    const double r = shape.core.radius;
    Division division;
    const auto sides = [size](double length, int least) {
        return std::max(least, static_cast<int>(std::lround(length / size)));
    };
    if (n == 1) { // in fours, so that a grid fits in
        division.per_arc = 4 * std::max(2, static_cast<int>(std::ceil(2 * pi * r / size / 4 - 1e-9)));
        return division;
    }
    const double arc = 2 * pi / static_cast<double>(n) * r;
    if (n == 2) division.per_arc = sides(arc, 3);
    if (n == 4 && arc > size / 3) division.per_arc = sides(arc, 1);
    for (std::size_t i = 0; i < n; ++i)
        division.per_side.push_back(sides((shape.core.corners[(i + 1) % n] - shape.core.corners[i]).norm(), 1));
    return division;
}

int count(const Shape& shape, const Division& division)
{
    int sum = division.per_arc * static_cast<int>(shape.core.corners.size());
    for (const int sides : division.per_side) sum += sides;
    return sum;
}

/// Distance of the polygon's corners from the core, such that it has the round shape's area:
///     A + P R + κ R² = area,   κ = Σ m/2 sin(φ/m) over arcs of angle φ in m chords, tan(φ/2) at a sharp corner
double polygon_radius(const Shape& shape, const Division& division)
{
    const auto n = static_cast<double>(shape.core.corners.size());
    const double r = shape.core.radius, phi = 2 * pi / n, m = division.per_arc;
    const double kappa = division.per_arc > 0 ? n * m / 2 * std::sin(phi / m) : n * std::tan(phi / 2);
    const double P = shape.perimeter - 2 * pi * r, rest = shape.area - signed_area(shape.core.corners);
    return 2 * rest / (P + std::sqrt(P * P + 4 * kappa * rest));
}

/// How far the polygon reaches beyond the round shape [m].
double excess(const Shape& shape, const Division& division)
{
    const double R = polygon_radius(shape, division);
    return (division.per_arc > 0 ? R : R * std::sqrt(2.0)) - shape.core.radius;
}

Ring draw_circle(const Shape& shape, const Division& division)
{
    const int n = division.per_arc, quarter = n / 4;
    const double R = polygon_radius(shape, division);
    const double start = quarter % 2 == 0 ? 0 : pi / n; // corners of the grid inside then lie on the diagonals
    Ring ring;
    for (int k = 0; k < n; ++k) {
        const double t = start + 2 * pi * k / n;
        ring.points.push_back(shape.core.corners[0] + R * Vector2d(std::cos(t), std::sin(t)));
    }
    for (int c = 0; c < 4; ++c) ring.corner[static_cast<std::size_t>(c)] = quarter / 2 + c * quarter;
    return ring;
}

Ring draw(const Shape& shape, const Division& division)
{
    const std::size_t n = shape.core.corners.size();
    if (n == 1) return draw_circle(shape, division);
    const int m = division.per_arc;
    const Polygon keys = grown_outline({shape.core.corners, polygon_radius(shape, division)}, m);
    std::vector<int> corners, sides(keys.size(), 1); // sides from each key to the next
    for (std::size_t i = 0; i < n; ++i) {
        const int at = static_cast<int>(i) * (m + 1);
        sides[static_cast<std::size_t>(at + m)] = division.per_side[i];
        corners.push_back(n == 2 ? at + m / 3 : at + m / 2);
        if (n == 2) corners.push_back(at + m - m / 3);
    }
    Ring ring;
    for (std::size_t k = 0, c = 0; k < keys.size(); ++k) {
        if (c < 4 && corners[c] == static_cast<int>(k)) ring.corner[c++] = static_cast<int>(ring.points.size());
        const Vector2d way = keys[(k + 1) % keys.size()] - keys[k];
        for (int j = 0; j < sides[k]; ++j) ring.points.emplace_back(keys[k] + way * j / sides[k]);
    }
    return ring;
}

/// The shape in sides of about `size` [m], at least so many, within a third of the land around it.
Ring ring_of(const Shape& shape, double size, int least, double land)
{
    size = std::min(size, std::max(longest_side * land, shape.perimeter / most_for_land));
    Division division = divide(shape, size);
    for (int round = 0; count(shape, division) < least || excess(shape, division) > land / 3; ++round) {
        if (round == 200) throw MeshError("the outside could not be meshed: a hole is too near to an edge");
        division = divide(shape, size *= 0.95);
    }
    return draw(shape, division);
}

Ring shrunk(Ring ring, const Vector2d& centre, double scale)
{
    for (Vector2d& p : ring.points) p = centre + scale * (p - centre);
    return ring;
}

/// By how much [m] each hole is widened: ports by their flare, where there is room.
std::vector<double> widenings(const Board& board, const Polygon& face)
{
    const auto flare = [](const Opening& o) { return o.insert.kind == InsertPlan::Kind::Port ? o.insert.flare : 0; };
    std::vector<double> result;
    for (const Opening& opening : board.openings) {
        double room = land_inside(face, opening) - kept_land;
        for (const Opening& other : board.openings) {
            if (&other == &opening) continue;
            const double land = land_between(opening, other) - kept_land;
            room = std::min(room, flare(other) > 0 ? land / 2 : land);
        }
        result.push_back(std::max(0.0, std::min(room, flare(opening))));
    }
    return result;
}

/// Land [m] round a hole: to the face's edge and to the other holes.
double land_round(const Board& board, std::size_t hole, const Polygon& face, const std::vector<double>& grown)
{
    double land = land_inside(face, board.openings[hole]);
    for (std::size_t o = 0; o < board.openings.size(); ++o)
        if (o != hole) land = std::min(land, land_between(board.openings[hole], board.openings[o]) - grown[o]);
    return land - grown[hole];
}

bool is_insert(const Opening& opening)
{
    return opening.insert.kind == InsertPlan::Kind::Plate || (holds_cone(opening) && !opening.insert.small_signal);
}

/// Area of the cone [m²]; 0: none is said.
double cone_area(const Opening& opening)
{
    return holds_cone(opening) && opening.insert.small_signal ? opening.insert.small_signal->Sd : 0;
}

/// Draws the cone into a hole it is smaller than.
void add_cone(Closure& closure, const Shape& hole, const Opening& opening, double Sd, double size, int least)
{
    const double scale = std::sqrt(Sd / hole.area), R = std::sqrt(Sd / pi);
    const double narrowest = std::min(opening.width, opening.height) / 2;
    if (hole.core.corners.size() > 1 && R < narrowest * (1 - thinnest_ring)) {
        closure.on = On::Insert;
        closure.cone = ring_of(Shape({{opening.centre}, R}), size, least, narrowest - R);
        closure.is_scaled = false;
        return;
    }
    Ring cone = shrunk(closure.rim, opening.centre, scale); // long holes are for long cones
    if (1 - scale < thinnest_ring) {
        closure.rim = std::move(cone);
        return;
    }
    closure.on = On::Insert;
    closure.cone = std::move(cone);
}

} // namespace

std::vector<Closure> closures(const Board& board, const Polygon& face, const OuterMeshOptions& options)
{
    const std::vector<double> grown = widenings(board, face);
    std::vector<Closure> result;
    for (std::size_t o = 0; o < board.openings.size(); ++o) {
        const Opening& opening = board.openings[o];
        Closure closure;
        closure.opening = static_cast<int>(o);
        closure.on = is_insert(opening) ? On::Insert : On::Source;
        const double land = land_round(board, o, face, grown);
        if (land < least_gap)
            throw MeshError(
                fmt::format("the outside could not be meshed: opening '{}' cuts the edge of the outer face of '{}'",
                            opening.name, board.name));
        OpeningCore core = opening_core(opening);
        core.radius += grown[o];
        const Shape hole(core);
        const bool is_source = closure.on == On::Source;
        const double size = is_source && options.source_size > 0 ? std::min(options.source_size, options.element_size)
                                                                 : options.element_size;
        const int least = is_source ? options.per_circle : core.corners.size() == 1 ? least_of_insert : 4;
        const double Sd = cone_area(opening);
        const bool has_cone = Sd > 0 && Sd < hole.area;
        const double width =
            has_cone ? (1 - std::sqrt(Sd / hole.area)) * std::min(opening.width, opening.height) / 2 : size;
        closure.rim =
            ring_of(hole, std::min(size, std::max(longest_side * width, hole.perimeter / most_for_ring)), least, land);
        if (has_cone) add_cone(closure, hole, opening, Sd, size, least);
        result.push_back(std::move(closure));
    }
    return result;
}

} // namespace stillwall::mesh
