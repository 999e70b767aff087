#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/internal/build_steps.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

// Contacts shorter than this hold nothing [m].
constexpr double least_contact = least_land;

double sine_between(const Board& a, const Board& b)
{
    return std::clamp(a.frame.n.cross(b.frame.n).norm(), 0.0, 1.0);
}

Junction joint(const Cabinet& cabinet, Junction::Kind kind, int passing, int ending)
{
    const Board &p = cabinet.boards[static_cast<std::size_t>(passing)],
                &e = cabinet.boards[static_cast<std::size_t>(ending)];
    Junction junction;
    junction.kind = kind;
    junction.passing = passing;
    junction.ending = ending;
    const double sine = sine_between(p, e);
    junction.angle = std::asin(sine);
    // Where a mid-plane leaves the other board's face; a slanted end is longer on one face by as much
    // as it is shorter on the other.
    junction.overlap_passing = e.thickness() / 2 / sine;
    junction.overlap_ending = p.thickness() / 2 / sine;
    junction.strip_passing = junction.overlap_passing + strip_extension * p.thickness();
    junction.strip_ending = junction.overlap_ending + strip_extension * e.thickness();
    return junction;
}

// One joint over every contact along a line, unless too short to hold.
void add_contacts(Cabinet& cabinet, const Junction& joint, const Vector3d& origin, const Vector3d& along,
                  const std::vector<Interval>& contacts)
{
    for (const Interval& contact : contacts) {
        if (contact.second - contact.first < least_contact) continue;
        Junction& junction = cabinet.junctions.emplace_back(joint);
        junction.from = origin + contact.first * along;
        junction.to = origin + contact.second * along;
    }
}

// A side of `ending` that lies on the mid-plane of `passing`: the parts over the board itself.
void add_tees(Cabinet& cabinet, int ending, std::size_t side)
{
    const Board& e = cabinet.boards[static_cast<std::size_t>(ending)];
    const int passing = *e.edge_on[side];
    const Board& p = cabinet.boards[static_cast<std::size_t>(passing)];
    const Vector3d from = e.frame.to_space(e.outline[side]);
    const Vector3d to = e.frame.to_space(e.outline[(side + 1) % e.outline.size()]);
    const Vector2d a = p.frame.to_board(from), b = p.frame.to_board(to);
    const double length = (b - a).norm();
    const Vector3d along = (to - from) / length;
    add_contacts(cabinet, joint(cabinet, Junction::Kind::Tee, passing, ending), from, along,
                 common(line_inside(p.outline, a, (b - a) / length, true), {{0.0, length}}));
}

bool ends_on(const Board& board, int other)
{
    return std::find(board.edge_on.begin(), board.edge_on.end(), other) != board.edge_on.end();
}

// Two plates that end at each other: the earlier one covers the later one's end.
void make_corners(Cabinet& cabinet, int first_brace)
{
    std::vector<Junction> kept;
    for (Junction junction : cabinet.junctions) {
        const bool is_mutual = junction.kind == Junction::Kind::Tee && junction.passing >= first_brace &&
                               ends_on(cabinet.boards[static_cast<std::size_t>(junction.passing)], junction.ending);
        if (is_mutual && junction.passing > junction.ending) continue; // its twin is kept
        if (is_mutual) junction.kind = Junction::Kind::Corner;
        kept.push_back(junction);
    }
    cabinet.junctions = std::move(kept);
}

void add_crossings(Cabinet& cabinet, int a, int b)
{
    const Board &first = cabinet.boards[static_cast<std::size_t>(a)],
                &second = cabinet.boards[static_cast<std::size_t>(b)];
    if (ends_on(first, b) || ends_on(second, a) || sine_between(first, second) < 1e-6) return;
    const Vector3d along = first.frame.n.cross(second.frame.n).normalized();
    const Plane square{along, along.dot(first.frame.origin)};
    const Vector3d origin = meet(plane_of(first, 0), plane_of(second, 0), square);
    const auto inside = [&](const Board& board) {
        const Vector2d direction(along.dot(board.frame.e1), along.dot(board.frame.e2));
        return line_inside(board.outline, board.frame.to_board(origin), direction, false);
    };
    add_contacts(cabinet, joint(cabinet, Junction::Kind::Cross, a, b), origin, along,
                 common(inside(first), inside(second)));
}

} // namespace

void add_brace_joints(Cabinet& cabinet)
{
    const int first_brace = count_outline_walls(cabinet.boards) + 2, n = static_cast<int>(cabinet.boards.size());
    for (int brace = first_brace; brace < n; ++brace) {
        const std::size_t n_sides = cabinet.boards[static_cast<std::size_t>(brace)].edge_on.size();
        for (std::size_t side = 0; side < n_sides; ++side) {
            if (cabinet.boards[static_cast<std::size_t>(brace)].edge_on[side]) add_tees(cabinet, brace, side);
        }
    }
    make_corners(cabinet, first_brace);
    for (int a = first_brace; a < n; ++a) {
        for (int b = a + 1; b < n; ++b) add_crossings(cabinet, a, b);
    }
    for (int brace = first_brace; brace < n; ++brace) {
        const bool is_held = std::any_of(cabinet.junctions.begin(), cabinet.junctions.end(),
                                         [&](const Junction& j) { return j.passing == brace || j.ending == brace; });
        const Board& board = cabinet.boards[static_cast<std::size_t>(brace)];
        if (!is_held) {
            throw InputError(board.where, "braces." + board.name,
                             "touches no other board; move its limits to a wall or leave them out");
        }
    }
}

} // namespace stillwall
