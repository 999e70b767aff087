#include "mesh/cabinet/build_solids.h"

#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon_notch.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

// The planes, normals pointing away from the brace, at which its free edges and the edges at other
// braces end.
std::vector<Plane> own_ends(const Cabinet& cabinet, int brace)
{
    const Board& board = cabinet.board(brace);
    const int n_hull = count_outline_walls(cabinet.boards) + 2;
    const Vector3d inside = board.frame.to_space(interior_point(board.outline));
    std::vector<Plane> ends;
    for (std::size_t i = 0; i < board.outline.size(); ++i) {
        const std::optional<int> edge_on = board.edge_on[i];
        if ((edge_on && *edge_on < n_hull) || is_notch_side(board, i)) continue;
        if (edge_on) {
            const Board& other = cabinet.board(*edge_on);
            const double side = other.frame.height_of(inside) > 0 ? 1 : -1;
            const double reach = (covers(cabinet, brace, *edge_on) ? -0.5 : 0.5) * other.thickness();
            const Plane face = plane_of(other, side * reach);
            ends.push_back({-side * face.n, -side * face.d});
            continue;
        }
        const Vector3d from = board.frame.to_space(board.outline[i]);
        const Vector3d to = board.frame.to_space(board.outline[(i + 1) % board.outline.size()]);
        const Vector3d outwards = (to - from).cross(board.frame.n).normalized();
        ends.push_back({outwards, outwards.dot(from)});
    }
    return ends;
}

std::vector<Plane> hull_planes(const Cabinet& cabinet)
{
    std::vector<Plane> planes;
    for (const Board& board : cabinet.boards) {
        if (board.kind == Board::Kind::Wall) planes.push_back(plane_of(board, -board.thickness() / 2));
    }
    return planes;
}

// Heights between s0 and s1 at which the brace's face may gain or lose a corner: where three of the
// planes that bound it meet.
std::vector<double> break_heights(const Cabinet& cabinet, int brace, double s0, double s1)
{
    std::vector<Plane> planes = hull_planes(cabinet);
    for (const Plane& end : own_ends(cabinet, brace)) planes.push_back(end);
    std::vector<double> heights{s0, s1};
    const Frame& frame = cabinet.board(brace).frame;
    for (std::size_t i = 0; i < planes.size(); ++i) {
        for (std::size_t j = i + 1; j < planes.size(); ++j) {
            const Vector3d line = planes[i].n.cross(planes[j].n);
            for (std::size_t k = j + 1; k < planes.size(); ++k) {
                if (std::abs(line.dot(planes[k].n)) < 1e-9) continue;
                const double s = frame.height_of(meet(planes[i], planes[j], planes[k]));
                if (s > s0 && s < s1) heights.push_back(s);
            }
        }
    }
    std::sort(heights.begin(), heights.end());
    return heights;
}

// A brace's clear face before its notches are cut.
Polygon whole_face(const Cabinet& cabinet, const Hull& inner, int brace, double s)
{
    const Board& board = cabinet.board(brace);
    Frame frame = board.frame;
    frame.origin += s * frame.n;
    std::vector<EdgedPolygon> parts = cut_hull(inner, frame, true);
    for (const Plane& end : own_ends(cabinet, brace)) {
        const Vector2d in_plane(end.n.dot(frame.e1), end.n.dot(frame.e2));
        const double length = in_plane.norm();
        std::vector<EdgedPolygon> kept;
        for (const EdgedPolygon& part : parts) {
            for (EdgedPolygon& piece : clip(part, in_plane / length, -end.height_of(frame.origin) / length, -1))
                kept.push_back(std::move(piece));
        }
        parts = std::move(kept);
    }
    if (parts.empty()) return {};
    const Vector2d inside = interior_point(board.outline);
    for (const EdgedPolygon& part : parts) {
        if (contains(part.corners, inside)) return part.corners;
    }
    const auto larger = [](const EdgedPolygon& a, const EdgedPolygon& b) {
        return signed_area(a.corners) < signed_area(b.corners);
    };
    return std::max_element(parts.begin(), parts.end(), larger)->corners;
}

} // namespace

bool covers(const Cabinet& cabinet, int a, int b)
{
    return std::any_of(cabinet.junctions.begin(), cabinet.junctions.end(), [&](const Junction& j) {
        return j.kind == Junction::Kind::Corner && j.passing == a && j.ending == b;
    });
}

std::vector<Plane> sawn_ends(const Cabinet& cabinet, int wall)
{
    std::vector<Plane> ends;
    for (const std::optional<int> other : cabinet.board(wall).edge_on)
        ends.push_back(sawn_end(cabinet.boards, wall, *other, covers(cabinet, wall, *other)));
    return ends;
}

Polygon clear_face(const Cabinet& cabinet, const Hull& inner, int brace, double s)
{
    EdgedPolygon face{whole_face(cabinet, inner, brace, s), {}};
    face.edge_on.assign(face.corners.size(), 0);
    for (const Polygon& notch : cabinet.board(brace).notches)
        if (auto rest = notched(face, notch, -1)) face = std::move(*rest);
    return face.corners;
}

Polygon bonding_face(const Cabinet& cabinet, const Hull& inner, int board, double side)
{
    const Board& b = cabinet.board(board);
    const double height = side * b.thickness() / 2;
    if (b.kind == Board::Kind::Brace) return clear_face(cabinet, inner, board, height);
    if (side > 0) return face_at(b, height, sawn_ends(cabinet, board));
    std::vector<Plane> ends;
    for (const std::optional<int> other : b.edge_on)
        ends.push_back(plane_of(cabinet.board(*other), -cabinet.board(*other).thickness() / 2));
    return face_at(b, height, ends);
}

double slab_volume(const Cabinet& cabinet, const Hull& inner, int board, double s0, double s1)
{
    const Board& b = cabinet.board(board);
    const bool is_wall = b.kind == Board::Kind::Wall;
    const std::vector<Plane> ends = is_wall ? sawn_ends(cabinet, board) : std::vector<Plane>{};
    const auto area = [&](double s) {
        return std::abs(signed_area(is_wall ? face_at(b, s, ends) : clear_face(cabinet, inner, board, s)));
    };
    const std::vector<double> breaks = is_wall ? std::vector<double>{s0, s1} : break_heights(cabinet, board, s0, s1);
    // Between breaks every corner moves along a straight line, so the area is quadratic in s and two
    // Gauss points are exact; they also keep clear of the breaks themselves.
    const double gauss = 1 / std::sqrt(3.0);
    double volume = 0;
    for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
        const double middle = (breaks[i] + breaks[i + 1]) / 2, half = (breaks[i + 1] - breaks[i]) / 2;
        volume += half * (area(middle - gauss * half) + area(middle + gauss * half));
    }
    return volume;
}

} // namespace stillwall
