// Inserts as bodies: depth from the displaced volume, kept inside the box.

#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"
#include "mesh/gmsh/internal/air_shapes.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace stillwall::mesh {
namespace {

constexpr double clearance = 5e-3; ///< [m] kept from a body to the board behind it

/// The room behind a board: how far one can go from its −n face.
class Room
{
public:
    Room(const Cabinet& cabinet, int board) : cabinet_(cabinet), board_(board)
    {
        const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
        const Vector3d inwards = -cabinet.board(board).frame.n;
        for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
            const Board& other = cabinet.boards[b];
            const bool is_wall = other.kind == Board::Kind::Wall;
            if (static_cast<int>(b) == board_) continue;
            // The face turned towards the body: a wall's inner one, of a brace the nearer one.
            const double side = is_wall || other.frame.n.dot(inwards) > 0 ? -1 : 1;
            if (-side * other.frame.n.dot(inwards) < 1e-6) continue; // looks away, or lies alongside
            faces_.push_back({static_cast<int>(b), plane_of(other, side * other.thickness() / 2),
                              bonding_face(cabinet, inner, static_cast<int>(b), side)});
        }
        own_face_ = bonding_face(cabinet, inner, board, -1);
    }

    /// Free way [m] behind the point of the −n face.
    /// @param with_braces  whether braces stop it
    [[nodiscard]] double depth_at(const Vector2d& q, bool with_braces) const
    {
        const Frame& frame = cabinet_.board(board_).frame;
        const Vector3d from = frame.to_space(q) - cabinet_.board(board_).thickness() / 2 * frame.n;
        double least = std::numeric_limits<double>::infinity();
        for (const Target& target : faces_) {
            const Board& other = cabinet_.board(target.board);
            if (other.kind == Board::Kind::Brace && !with_braces) continue;
            const double way = target.plane.height_of(from) / target.plane.n.dot(frame.n);
            if (way < 0 || way > least) continue;
            const Vector2d hit = other.frame.to_board(from - way * frame.n);
            if (!contains(target.face, hit)) continue;
            if (!is_in_window(other, hit)) least = way;
        }
        return least;
    }

    /// Whether a body of this section stands on the board's free face.
    [[nodiscard]] bool has_place_for(const Opening& section) const
    {
        return land_inside(own_face_, section) >= clearance;
    }

private:
    struct Target
    {
        int board;
        Plane plane;
        Polygon face;
    };
    const Cabinet& cabinet_;
    int board_;
    std::vector<Target> faces_;
    Polygon own_face_;
};

bool fits(const Room& room, const Opening& opening, const AirBody& body)
{
    const double reach = body.depth + clearance;
    constexpr int n_points = 32;
    for (const Vector2d& q : opening_outline(scaled(opening, body.scale_end), n_points))
        if (room.depth_at(q, false) < reach) return false;
    // A brace beside the hole is cut out around the insert; one behind it is not.
    for (const Vector2d& q : opening_outline(scaled(opening, body.scale_end / 2), n_points))
        if (room.depth_at(q, true) < reach) return false;
    if (room.depth_at(opening.centre, true) < reach) return false;
    return body.scale_base <= 1 || room.has_place_for(scaled(opening, body.scale_base));
}

/// The body of given ends with the insert's volume: frustum or prism, V = A d (a² + a b + b²)/3.
AirBody body_of(const Opening& opening, AirBody body, double scale_base, double scale_end)
{
    body.scale_base = scale_base;
    body.scale_end = scale_end;
    const double mean = (scale_base * scale_base + scale_base * scale_end + scale_end * scale_end) / 3;
    body.depth = opening.insert.volume / (opening_area(opening) * mean);
    return body;
}

std::optional<AirBody> fitted(const Room& room, const Opening& opening, AirBody body)
{
    constexpr int n_steps = 20;
    if (body.is_round) {
        for (int k = 0; k <= n_steps; ++k) {
            const AirBody trial = body_of(opening, body, 1, 0.5 + 0.5 * k / n_steps);
            if (fits(room, opening, trial)) return trial;
        }
    }
    for (int k = 0; k <= 10 * n_steps; ++k) {
        const double scale = 1 + static_cast<double>(k) / n_steps;
        const AirBody trial = body_of(opening, body, scale, scale);
        if (fits(room, opening, trial)) return trial;
    }
    return std::nullopt;
}

} // namespace

std::vector<AirBody> air_bodies(const Cabinet& cabinet)
{
    std::vector<AirBody> bodies;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const Opening& opening = board.openings[o];
            if (is_open(opening) || !(opening.insert.volume > 0)) continue;
            AirBody body;
            body.board = static_cast<int>(b);
            body.opening = static_cast<int>(o);
            body.is_round = holds_cone(opening) && opening.shape == OpeningPlan::Shape::Circle;
            const auto result = fitted(Room(cabinet, body.board), opening, body);
            if (!result)
                throw InputError(
                    opening.where, "openings." + opening.name,
                    fmt::format("its insert displaces {:.3g} l, which find no room behind the hole even in a wide, "
                                "flat body; check the volume",
                                opening.insert.volume * 1e3));
            bodies.push_back(*result);
        }
    }
    return bodies;
}

} // namespace stillwall::mesh
