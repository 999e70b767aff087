#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/volume_lines.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

struct SolidSum
{
    double volume = 0; // [m³]
    double mass = 0;   // [kg]
};

double density(const Cabinet& cabinet, int material)
{
    return cabinet.materials[static_cast<std::size_t>(material)].rho.value;
}

double openings_area(const Board& board)
{
    double area = 0;
    for (const Opening& opening : board.openings) area += opening_area(opening);
    return area;
}

// What drivers' rebates take out of the board between two heights above its mid-plane [m³].
double rebated_volume(const Board& board, double low, double high)
{
    double volume = 0;
    for (const Opening& opening : board.openings) {
        const double recess = opening.insert.body.recess;
        if (recess <= 0) continue;
        const double cut = high - std::max(low, board.thickness() / 2 - recess);
        if (cut > 0) volume += rebate_volume(opening) * cut / recess;
    }
    return volume;
}

SolidSum board_solid(const Cabinet& cabinet, const Hull& inner, int index)
{
    const Board& board = cabinet.boards[static_cast<std::size_t>(index)];
    const double holes = openings_area(board);
    SolidSum sum;
    double s = -board.thickness() / 2;
    for (const Ply& ply : board.layup.plies) {
        const double volume = slab_volume(cabinet, inner, index, s, s + ply.thickness) - holes * ply.thickness -
                              rebated_volume(board, s, s + ply.thickness);
        sum.volume += volume;
        sum.mass += volume * density(cabinet, ply.material);
        s += ply.thickness;
    }
    return sum;
}

// Stretches of the line from + t·along that run through a brace's wood, on its mid-plane.
std::vector<Interval> wood_along(const Cabinet& cabinet, const Hull& inner, int index, const Vector3d& from,
                                 const Vector3d& along)
{
    const Board& board = cabinet.boards[static_cast<std::size_t>(index)];
    const Vector2d origin = board.frame.to_board(from), direction(along.dot(board.frame.e1), along.dot(board.frame.e2));
    std::vector<Interval> wood = line_inside(clear_face(cabinet, inner, index, 0), origin, direction, false);
    constexpr int fine_arc = 720; // chords: 1e-5 of the radius off the true edge
    for (const Opening& opening : board.openings)
        wood = without(wood, line_inside(opening_outline(opening, fine_arc), origin, direction, false));
    return wood;
}

// Wood that two crossing braces would both claim; half-lapped, each gives up one half.
double crossing_volume(const Cabinet& cabinet, const Hull& inner, const Junction& junction)
{
    const Vector3d along = (junction.to - junction.from).normalized();
    const auto wood = [&](int board) { return wood_along(cabinet, inner, board, junction.from, along); };
    const double length = (junction.to - junction.from).norm();
    double shared = 0;
    for (const Interval& part : common(common(wood(junction.passing), wood(junction.ending)), {{0.0, length}}))
        shared += part.second - part.first;
    const auto thickness = [&](int board) { return cabinet.boards[static_cast<std::size_t>(board)].thickness(); };
    return shared * thickness(junction.passing) * thickness(junction.ending) / std::sin(junction.angle);
}

double rod_section(const Rod& rod)
{
    return rod.diameter ? std::numbers::pi / 4 * *rod.diameter * *rod.diameter : rod.width * rod.height;
}

// Between the faces of the boards it stands on.
double rod_length(const Cabinet& cabinet, const Rod& rod)
{
    const Vector3d axis = rod.to - rod.from;
    double length = axis.norm();
    for (const int index : {rod.board_from, rod.board_to}) {
        const Board& board = cabinet.boards[static_cast<std::size_t>(index)];
        const double cosine = std::abs(board.frame.n.dot(axis)) / axis.norm();
        if (cosine > 1e-6) length -= board.thickness() / 2 / cosine;
    }
    return std::max(0.0, length);
}

double rib_length(const Rib& rib)
{
    return (rib.to - rib.from).norm();
}

double rib_section(const Rib& rib)
{
    return rib.width * rib.height;
}

PartLine bar_line(const std::string& name, const Material& material, double length, double width, double thickness,
                  double section)
{
    PartLine line;
    line.name = name;
    line.material = material.title.empty() ? material.name : material.title;
    line.length = length;
    line.width = width;
    line.thickness = thickness;
    line.area = length * width;
    line.mass = length * section * material.rho.value;
    return line;
}

void add_bars(const Cabinet& cabinet, std::vector<PartLine>& parts)
{
    for (const Rod& rod : cabinet.rods)
        parts.push_back(bar_line(rod.name, cabinet.materials[static_cast<std::size_t>(rod.material)],
                                 rod_length(cabinet, rod), rod.diameter.value_or(rod.width),
                                 rod.diameter.value_or(rod.height), rod_section(rod)));
    for (const Rib& rib : cabinet.ribs)
        parts.push_back(bar_line(rib.name, cabinet.materials[static_cast<std::size_t>(rib.material)], rib_length(rib),
                                 rib.width, rib.height, rib_section(rib)));
}

// A part sawn from a sheet, by the blank it needs; area and mass are left to the caller.
PartLine sheet_line(const std::string& name, const Layup& layup, const Polygon& sawn)
{
    const Vector2d blank = bounds(sawn).size();
    PartLine line;
    line.name = name;
    line.material = layup.label;
    line.length = blank.maxCoeff();
    line.width = blank.minCoeff();
    line.thickness = layup.thickness();
    return line;
}

void add_layer_lines(const Cabinet& cabinet, Bookkeeping& book)
{
    for (const FaceLayer& layer : cabinet.layers) {
        PartLine line = sheet_line(layer.name, layer.layup, layer.region);
        line.area = layer.area;
        for (const Ply& ply : layer.layup.plies)
            line.mass += layer.area * ply.thickness * density(cabinet, ply.material);
        book.layer_mass += line.mass;
        book.parts.push_back(std::move(line));
    }
}

/// Boards with what crossing ones share halved.
std::vector<SolidSum> board_solids(const Cabinet& cabinet, const Hull& inner)
{
    std::vector<SolidSum> solids;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        solids.push_back(board_solid(cabinet, inner, static_cast<int>(b)));
    for (const Junction& junction : cabinet.junctions) {
        if (junction.kind != Junction::Kind::Cross) continue;
        const double shared = crossing_volume(cabinet, inner, junction);
        for (const int board : {junction.passing, junction.ending}) {
            SolidSum& solid = solids[static_cast<std::size_t>(board)];
            const double rest = 1 - shared / 2 / solid.volume;
            solid.volume *= rest;
            solid.mass *= rest;
        }
    }
    return solids;
}

/// Whether what stands on a board's face takes room inside: a brace stands inside with both faces.
bool is_inside(const Cabinet& cabinet, int board, int side)
{
    return cabinet.board(board).kind == Board::Kind::Brace || side < 0;
}

/// A point in the room before a board's face.
/// @param height  [m] off the face
Vector3d before_face(const Board& board, const Vector2d& at, double side, double height)
{
    return board.frame.to_space(at) + side * (board.thickness() / 2 + height) * board.frame.n;
}

std::vector<Vector3d> points_of(const Cabinet& cabinet, const FaceLayer& layer)
{
    constexpr int n = 16;          // points along each side of its bounding rectangle
    constexpr double clear = 1e-3; // [m] above the layer
    const Bounds2 round = bounds(layer.region);
    std::vector<Vector3d> points;
    for (int i = 0; i < n * n; ++i) {
        const int row = i / n;
        const Vector2d share((i % n + 0.5) / n, (row + 0.5) / n), p = round.low + share.cwiseProduct(round.size());
        if (contains(layer.region, p))
            points.push_back(before_face(cabinet.board(layer.board), p, layer.side, layer.layup.thickness() + clear));
    }
    return points;
}

/// @param solids  board_solids of the same cabinet
std::vector<VolumeLine> volume_lines(const Cabinet& cabinet, const Hull& inner, const std::vector<SolidSum>& solids)
{
    constexpr double clear = 1e-3; // [m] behind a board's face
    std::vector<VolumeLine> lines{{"inside the bare walls", "walls", hull_volume(inner), {}}};
    const auto take = [&lines](const std::string& name, const std::string& kind, double volume,
                               std::vector<Vector3d> at) {
        if (volume != 0) lines.push_back({name, kind, -volume, std::move(at)});
    };
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        if (cabinet.boards[b].kind == Board::Kind::Brace) take(cabinet.boards[b].name, "brace", solids[b].volume, {});
    for (const Board& board : cabinet.boards)
        for (const Opening& opening : board.openings)
            take(opening.name, insert_word(opening.insert.kind), opening.insert.volume,
                 {before_face(board, opening.centre, -1, clear)});
    for (const Rod& rod : cabinet.rods)
        take(rod.name, "rod", rod_length(cabinet, rod) * rod_section(rod), {(rod.from + rod.to) / 2});
    for (const Rib& rib : cabinet.ribs)
        if (is_inside(cabinet, rib.board, rib.side))
            take(rib.name, "rib", rib_length(rib) * rib_section(rib),
                 {before_face(cabinet.board(rib.board), (rib.from + rib.to) / 2, rib.side, rib.height / 2)});
    for (const FaceLayer& layer : cabinet.layers)
        if (is_inside(cabinet, layer.board, layer.side))
            take(layer.name, "layer", layer.area * layer.layup.thickness(), points_of(cabinet, layer));
    return lines;
}

/// The facets of a curved wall as one part, rolled out at the neutral fibre.
Bookkeeping of_curved(const Cabinet& cabinet, Bookkeeping book)
{
    std::vector<PartLine> parts;
    for (const PartLine& line : book.parts) {
        if (parts.empty() || parts.back().name != line.name || parts.size() > cabinet.boards.size()) {
            parts.push_back(line);
            continue;
        }
        parts.back().area += line.area;
        parts.back().mass += line.mass;
    }
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (!board.frame.is_curved()) continue;
        const PartLine sheet = sheet_line(board.name, board.layup, board.sawn);
        book.board_area += signed_area(board.sawn) - parts[b].area;
        parts[b].length = sheet.length;
        parts[b].width = sheet.width;
        parts[b].area = signed_area(board.sawn);
    }
    book.parts = std::move(parts);
    return book;
}

} // namespace

std::vector<VolumeLine> volume_lines(const Cabinet& cabinet)
{
    if (cabinet.facets) return volume_lines(cabinet.facets->flat);
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    return volume_lines(cabinet, inner, board_solids(cabinet, inner));
}

Bookkeeping bookkeeping(const Cabinet& cabinet)
{
    if (cabinet.facets) return of_curved(cabinet, bookkeeping(cabinet.facets->flat));
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    const std::vector<SolidSum> solids = board_solids(cabinet, inner);

    Bookkeeping book;
    const std::vector<VolumeLine> lines = volume_lines(cabinet, inner, solids);
    book.gross_volume_m3 = lines.front().volume;
    for (const VolumeLine& line : lines) book.net_volume_m3 += line.volume;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        PartLine line = sheet_line(board.name, board.layup, board.sawn);
        line.area = signed_area(board.sawn) - openings_area(board);
        line.mass = solids[b].mass;
        book.board_mass += line.mass;
        book.board_area += line.area;
        book.parts.push_back(line);
        for (const Opening& opening : board.openings) book.insert_mass += opening.insert.mass;
    }
    add_bars(cabinet, book.parts);
    add_layer_lines(cabinet, book);
    for (const PointMass& mass : cabinet.masses) book.insert_mass += mass.mass;
    book.mass = book.insert_mass;
    for (const PartLine& part : book.parts) book.mass += part.mass;
    return book;
}

} // namespace stillwall
