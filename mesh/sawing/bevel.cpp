#include "mesh/sawing/bevel.h"

#include "mesh/cabinet/build_solids.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

constexpr double least_angle = 1e-3; ///< [rad] 0.06°: nobody sets a saw finer

/// The plane at which a side ends.
std::optional<Plane> end_of(const Cabinet& cabinet, int board, std::size_t side)
{
    const Board& own = cabinet.board(board);
    if (!own.edge_on[side]) return std::nullopt;
    const int other = *own.edge_on[side];
    if (own.kind == Board::Kind::Brace) return plane_of(cabinet.board(other), 0);
    return sawn_end(cabinet.boards, board, other, covers(cabinet, board, other));
}

std::optional<Bevel> bevel_at(const Cabinet& cabinet, int board, std::size_t side)
{
    const std::optional<Plane> end = end_of(cabinet, board, side);
    if (!end) return std::nullopt;
    const Board& own = cabinet.board(board);
    const Vector2d a = own.outline[side], b = own.outline[(side + 1) % own.outline.size()];
    const Vector2d outwards(b.y() - a.y(), a.x() - b.x());
    Vector3d normal = end->n;
    if (normal.dot(outwards.x() * own.frame.e1 + outwards.y() * own.frame.e2) < 0) normal = -normal;
    const double lean = normal.dot(own.frame.n); // > 0: the end leans over the board's +n face
    if (std::abs(lean) < least_angle) return std::nullopt;
    return Bevel{cabinet.board(*own.edge_on[side]).name, std::asin(std::min(std::abs(lean), 1.0)), lean < 0};
}

Vector2d face_size(const Cabinet& cabinet, const Hull& inner, int board, double side)
{
    const Board& own = cabinet.board(board);
    const double height = side * own.thickness() / 2;
    return bounds(own.kind == Board::Kind::Brace ? clear_face(cabinet, inner, board, height)
                                                 : face_at(own, height, sawn_ends(cabinet, board)))
        .size();
}

bool is_told(const std::vector<Bevel>& told, const Bevel& bevel)
{
    return std::any_of(told.begin(), told.end(), [&](const Bevel& b) { return b.at == bevel.at; });
}

/// What was found of the facets. A curved board's faces are those of the flat blank before it is bent.
std::vector<BevelledBoard> of_curved(const Cabinet& cabinet, const std::vector<BevelledBoard>& flat)
{
    std::vector<BevelledBoard> all(cabinet.boards.size());
    for (std::size_t f = 0; f < flat.size(); ++f) {
        const auto b = static_cast<std::size_t>(cabinet.facets->board[f]);
        const Board& board = cabinet.boards[b];
        for (const Bevel& bevel : flat[f].edges)
            if (bevel.at != board.name && !is_told(all[b].edges, bevel)) all[b].edges.push_back(bevel);
        all[b].faces = flat[f].faces;
        if (!board.frame.is_curved()) continue;
        all[b].faces = {bounds(board.sawn).size(), bounds(board.sawn).size()};
        for (const Bevel& bevel : all[b].edges) // the face that does not reach so far at that end
            all[b].faces[bevel.is_long_on_plus ? 0 : 1].x() -= board.thickness() * std::tan(bevel.angle);
    }
    return all;
}

} // namespace

std::vector<BevelledBoard> bevels_of(const Cabinet& cabinet)
{
    if (cabinet.facets) return of_curved(cabinet, bevels_of(cabinet.facets->flat));
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    std::vector<BevelledBoard> all(cabinet.boards.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
        const int board = static_cast<int>(i);
        for (std::size_t side = 0; side < cabinet.boards[i].outline.size(); ++side) {
            const std::optional<Bevel> bevel = bevel_at(cabinet, board, side);
            if (bevel && !is_told(all[i].edges, *bevel)) // a side may be in several pieces
                all[i].edges.push_back(*bevel);
        }
        all[i].faces = {face_size(cabinet, inner, board, -1), face_size(cabinet, inner, board, 1)};
    }
    return all;
}

} // namespace stillwall
