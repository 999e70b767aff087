#include "solver/air/internal/filling_shape.h"

#include "mesh/cabinet/opening.h"

#include <algorithm>

namespace stillwall::solver::internal {
namespace {

double signed_distance(const Polygon& outline, const Vector2d& q)
{
    const double distance = distance_to_boundary(outline, q);
    return contains(outline, q) ? distance : -distance;
}

/// Signed distance to the hole's edge, positive inside.
double inside_distance(const Opening& opening, const Vector2d& q)
{
    const OpeningCore core = opening_core(opening);
    const bool is_within = core.corners.size() > 2 && contains(core.corners, q);
    return is_within ? core.radius + distance_to_boundary(core.corners, q) : -land_to_segment(opening, q, q);
}

/// The layer of air at one face of a board.
FillingPart lining(const Board& board, double thickness, double side)
{
    const Frame frame = board.frame;
    const double face = board.thickness() / 2;
    const auto height = [frame, face, side](const Vector3d& x) { return side * frame.height_of(x) - face; };
    FillingPart part;
    part.push_back(height);
    part.push_back([=](const Vector3d& x) { return thickness - height(x); });
    part.push_back(
        [frame, outline = board.outline](const Vector3d& x) { return signed_distance(outline, frame.to_board(x)); });
    for (const Opening& opening : board.openings)
        part.push_back([frame, opening](const Vector3d& x) { return -inside_distance(opening, frame.to_board(x)); });
    return part;
}

} // namespace

std::vector<FillingPart> filling_parts(const Cabinet& cabinet, const Filling& filling)
{
    if (filling.board) {
        const Board& board = cabinet.board(*filling.board);
        std::vector<FillingPart> parts{lining(board, filling.thickness, -1)};
        if (board.kind == Board::Kind::Brace) parts.push_back(lining(board, filling.thickness, 1));
        return parts;
    }
    FillingPart box;
    for (int axis = 0; axis < 3; ++axis) {
        box.push_back([axis, low = filling.low[axis]](const Vector3d& x) { return x[axis] - low; });
        box.push_back([axis, high = filling.high[axis]](const Vector3d& x) { return high - x[axis]; });
    }
    return {box};
}

double positive_share(std::array<double, 4> value)
{
    std::sort(value.begin(), value.end());
    const auto& [a, b, c, d] = value;
    if (a >= 0) return 1;
    if (d <= 0) return 0;
    // One corner on its own side cuts off a tetrahedron similar to the whole; two and two are the difference of such.
    if (b >= 0) return 1 - a * a * a / ((a - b) * (a - c) * (a - d));
    if (c <= 0) return d * d * d / ((d - a) * (d - b) * (d - c));
    // a, b < 0 < c, d: by the prism's three tetrahedra; u = how far along each cut edge from the positive corner.
    const double ca = c / (c - a), cb = c / (c - b), da = d / (d - a), db = d / (d - b);
    return ca * cb + da * cb * (1 - ca) + da * db * (1 - cb);
}

} // namespace stillwall::solver::internal
