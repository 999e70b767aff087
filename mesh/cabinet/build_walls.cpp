#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/names.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall {
namespace {

using BoardPair = std::pair<int, int>;

Board wall_board(const WallPlan& plan, const Frame& frame, std::vector<std::optional<int>> edge_on)
{
    Board board;
    board.name = plan.name;
    board.layup = plan.layup;
    board.where = plan.where;
    board.frame = frame;
    board.edge_on = std::move(edge_on);
    return board;
}

// A wall's frame starts at the lower outer edge's first corner, carried in to the mid-plane, so that
// its coordinates are the distances along and up the outer face.
Frame upright_frame(const CabinetPlan& plan, std::size_t k, double slope)
{
    const Vector2d from = plan.outline[k], to = plan.outline[(k + 1) % plan.outline.size()];
    const Vector2d along = (to - from).normalized();
    Frame frame;
    frame.e1 = {along.x(), along.y(), 0};
    frame.n = std::cos(slope) * Vector3d(along.y(), -along.x(), 0) + std::sin(slope) * Vector3d::UnitZ();
    frame.e2 = frame.n.cross(frame.e1);
    frame.origin = Vector3d(from.x(), from.y(), 0) - plan.walls[k].layup.thickness() / 2 * frame.n;
    return frame;
}

std::vector<Board> wall_boards(const CabinetPlan& plan)
{
    const int n = static_cast<int>(plan.outline.size()), top = n, bottom = n + 1;
    std::vector<Board> boards;
    std::vector<std::optional<int>> round_top, round_bottom;
    for (int k = 0; k < n; ++k) {
        const auto index = static_cast<std::size_t>(k);
        const Frame frame = upright_frame(plan, index, k == 0 ? plan.baffle_slope : 0);
        boards.push_back(wall_board(plan.walls[index], frame, {bottom, (k + 1) % n, top, (k + n - 1) % n}));
        round_top.push_back(k);
        round_bottom.insert(round_bottom.begin(), k);
    }
    Frame up, down;
    up.origin.z() = plan.height - plan.top.layup.thickness() / 2;
    boards.push_back(wall_board(plan.top, up, round_top));
    down.e2 = -Vector3d::UnitY();
    down.n = -Vector3d::UnitZ();
    down.origin.z() = plan.bottom.layup.thickness() / 2;
    boards.push_back(wall_board(plan.bottom, down, round_bottom));
    return boards;
}

// Every wall must keep its direction and some length at top and bottom of the hull.
void check_hull(const CabinetPlan& plan, const std::vector<Board>& boards, Hull::Surface surface)
{
    const Hull hull = make_hull(boards, surface);
    const auto n = static_cast<std::size_t>(hull.n_walls);
    const double height = hull.corners[0][1].z() - hull.corners[0][0].z();
    if (height < least_land) {
        throw InputError(plan.where, "cabinet.height",
                         "top and bottom leave no room between them; they are " + in_mm(plan.top.layup.thickness()) +
                             " and " + in_mm(plan.bottom.layup.thickness()) + " thick in a box " + in_mm(plan.height) +
                             " high");
    }
    for (const std::size_t level : {0U, 1U}) {
        Polygon ring;
        for (const auto& corner : hull.corners) ring.push_back(corner[level].head<2>());
        for (std::size_t k = 0; k < n; ++k) {
            const Board& wall = boards[k];
            const double length = (ring[(k + 1) % n] - ring[k]).dot(wall.frame.e1.head<2>());
            if (length >= least_land) continue;
            if (surface == Hull::Surface::Outer) {
                throw InputError(plan.where, "cabinet.baffle_slope",
                                 "leans '" + plan.walls[0].name + "' so far that '" + wall.name +
                                     "' does not meet the " + (level == 1 ? "top" : "bottom") + "; lessen the slope");
            }
            throw InputError(wall.where, "boards." + wall.name,
                             "its neighbours' thickness (" + in_mm(boards[(k + n - 1) % n].thickness()) + ", " +
                                 in_mm(boards[(k + 1) % n].thickness()) +
                                 ") leaves no room for it inside; thinner boards or a larger box are needed");
        }
        if (is_simple(ring)) continue;
        throw InputError(plan.where, surface == Hull::Surface::Outer ? "cabinet.baffle_slope" : "cabinet.outline",
                         surface == Hull::Surface::Outer
                             ? "makes the outline cross itself at the top; lessen the slope"
                             : "the walls are so thick that the inner outline crosses itself");
    }
}

// Rank by which boards cover each other when the user says nothing: smaller covers larger.
int default_rank(const CabinetPlan& plan, int board)
{
    const int n = static_cast<int>(plan.walls.size());
    if (board >= n) return n + 1;
    std::vector<std::string> names; // a curved wall's facets have one name
    int rank = 0;
    for (int k = 0; k < n; ++k) {
        const std::string& name = plan.walls[static_cast<std::size_t>(k)].name;
        if (names.empty() || names.back() != name) names.push_back(name);
        if (k == board) rank = static_cast<int>(names.size()) - 1;
    }
    const bool is_box = names == std::vector<std::string>{"front", "right", "back", "left"};
    return is_box ? rank % 2 : rank;
}

bool do_meet(const std::vector<Board>& boards, int a, int b)
{
    const auto& sides = boards[static_cast<std::size_t>(a)].edge_on;
    return std::find(sides.begin(), sides.end(), b) != sides.end();
}

// Boards that meet, by name: a curved wall's facets share one.
std::vector<BoardPair> meeting(const std::vector<Board>& boards, const std::string& a, const std::string& b)
{
    std::vector<BoardPair> pairs;
    const int n = static_cast<int>(boards.size());
    for (int i = 0; i < n; ++i)
        for (int k = 0; k < n; ++k)
            if (boards[static_cast<std::size_t>(i)].name == a && boards[static_cast<std::size_t>(k)].name == b &&
                do_meet(boards, i, k))
                pairs.emplace_back(i, k);
    return pairs;
}

// The laps the user set, as (over, under).
std::map<BoardPair, bool> user_laps(const CabinetPlan& plan, const Cabinet& cabinet)
{
    std::vector<std::string> known;
    for (const Board& board : cabinet.boards) known.push_back(board.name);
    const auto find = [&](const CabinetPlan::Lap& lap, const std::string& name) {
        const auto is_it = [&](const BracePlan& brace) { return brace.name == name; };
        if (std::any_of(plan.braces.begin(), plan.braces.end(), is_it))
            throw InputError(lap.where, "laps", "'" + name + "' is a brace; braces always butt, only walls lap");
        const auto board = cabinet.board_index(name);
        if (!board) throw InputError(lap.where, "laps", "there is no board '" + name + "'; " + name_hint(name, known));
        return *board;
    };
    std::map<BoardPair, bool> laps;
    for (const CabinetPlan::Lap& lap : plan.laps) {
        const int over = find(lap, lap.over), under = find(lap, lap.under);
        if (over == under) throw InputError(lap.where, "laps", "'" + lap.over + "' cannot cover itself");
        const std::vector<BoardPair> pairs = meeting(cabinet.boards, lap.over, lap.under);
        if (pairs.empty())
            throw InputError(lap.where, "laps", "'" + lap.over + "' and '" + lap.under + "' do not meet");
        for (const auto& [a, b] : pairs) {
            if (laps.count({b, a}))
                throw InputError(lap.where, "laps", "'" + lap.over + "' and '" + lap.under + "' cover each other");
            laps[{a, b}] = true;
        }
    }
    return laps;
}

// How far from the line along the mid-plane of a board of thickness t_own the inner faces meet, when
// it forms the angle phi with a board of thickness t_other.
double corner_strip(double t_own, double t_other, double phi)
{
    const double strip = (t_other / 2 + t_own / 2 * std::cos(phi)) / std::sin(phi);
    return std::clamp(strip, 0.0, std::max(t_own, t_other));
}

// Ends of side `i` of a board in space, and the direction in the board away from it.
struct SideInSpace
{
    Vector3d from, to, inwards;
};

SideInSpace side_towards(const Board& board, int other)
{
    const auto at = std::find(board.edge_on.begin(), board.edge_on.end(), other);
    const auto i = static_cast<std::size_t>(at - board.edge_on.begin());
    SideInSpace side;
    side.from = board.frame.to_space(board.outline[i]);
    side.to = board.frame.to_space(board.outline[(i + 1) % board.outline.size()]);
    side.inwards = board.frame.n.cross(side.to - side.from).normalized();
    return side;
}

Junction corner(const std::vector<Board>& boards, int passing, int ending)
{
    const Board &over = boards[static_cast<std::size_t>(passing)], &under = boards[static_cast<std::size_t>(ending)];
    const SideInSpace a = side_towards(over, ending), b = side_towards(under, passing);
    Junction junction;
    junction.kind = Junction::Kind::Corner;
    junction.passing = passing;
    junction.ending = ending;
    junction.from = a.from;
    junction.to = a.to;
    junction.angle = std::acos(std::clamp(a.inwards.dot(b.inwards), -1.0, 1.0));
    junction.overlap_passing = corner_strip(over.thickness(), under.thickness(), junction.angle);
    junction.overlap_ending = corner_strip(under.thickness(), over.thickness(), junction.angle);
    junction.strip_passing = junction.overlap_passing + strip_extension * over.thickness();
    junction.strip_ending = junction.overlap_ending + strip_extension * under.thickness();
    return junction;
}

void add_corners(const CabinetPlan& plan, Cabinet& cabinet)
{
    const std::map<BoardPair, bool> laps = user_laps(plan, cabinet);
    for (int a = 0; a < static_cast<int>(cabinet.boards.size()); ++a) {
        for (int b = a + 1; b < static_cast<int>(cabinet.boards.size()); ++b) {
            if (!do_meet(cabinet.boards, a, b)) continue;
            bool a_covers = default_rank(plan, a) <= default_rank(plan, b);
            if (laps.count({a, b})) a_covers = true;
            if (laps.count({b, a})) a_covers = false;
            cabinet.junctions.push_back(a_covers ? corner(cabinet.boards, a, b) : corner(cabinet.boards, b, a));
        }
    }
}

// Laps that go round in a circle at a corner of three boards would leave a hole there; laps of a lid
// that change at a re-entrant or mitred corner would need a notched board.
void check_laps(const CabinetPlan& plan, const Cabinet& cabinet)
{
    const int n = static_cast<int>(plan.walls.size());
    const auto name = [&](int b) { return "'" + cabinet.boards[static_cast<std::size_t>(b)].name + "'"; };
    const SourcePos where = plan.laps.empty() ? plan.where : plan.laps.back().where;
    for (int k = 0; k < n; ++k) {
        const int before = (k + n - 1) % n;
        for (const int lid : {n, n + 1}) {
            const bool ab = covers(cabinet, before, k), bl = covers(cabinet, k, lid), la = covers(cabinet, lid, before);
            const bool needs_one_way = is_mitred(cabinet.boards, k) || is_reentrant(cabinet.boards, k);
            if (needs_one_way && la == bl) {
                throw InputError(where, "laps",
                                 name(lid) + " must lap " + name(before) + " and " + name(k) +
                                     " the same way, because they meet in an inward or a mitred corner");
            }
            if (ab == bl && bl == la) {
                throw InputError(where, "laps",
                                 "the laps of " + name(before) + ", " + name(k) + " and " + name(lid) +
                                     " go round in a circle and leave a hole in their corner; turn one of them round");
            }
        }
    }
}

} // namespace

std::vector<Vector2d> longer_face(const std::vector<Vector2d>& a, const std::vector<Vector2d>& b)
{
    const std::size_t n = a.size();
    if (n != b.size()) return signed_area(a) >= signed_area(b) ? a : b;
    // Line i: normal·p = offset, the farther out of the two faces.
    std::vector<Vector2d> normal(n);
    std::vector<double> offset(n);
    for (std::size_t i = 0; i < n; ++i) {
        const Vector2d side = (a[(i + 1) % n] - a[i]).normalized();
        normal[i] = {side.y(), -side.x()};
        offset[i] = std::max(normal[i].dot(a[i]), normal[i].dot(b[i]));
    }
    std::vector<Vector2d> face(n);
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t before = (i + n - 1) % n;
        const double det = normal[before].x() * normal[i].y() - normal[before].y() * normal[i].x();
        if (std::abs(det) < 1e-9) return signed_area(a) >= signed_area(b) ? a : b;
        face[i] = Vector2d(offset[before] * normal[i].y() - offset[i] * normal[before].y(),
                           normal[before].x() * offset[i] - normal[i].x() * offset[before]) /
                  det;
    }
    return is_simple(face) ? face : signed_area(a) >= signed_area(b) ? a : b;
}

void add_walls(const CabinetPlan& plan, Cabinet& cabinet)
{
    cabinet.boards = wall_boards(plan);
    for (const Hull::Surface surface : {Hull::Surface::Outer, Hull::Surface::Middle, Hull::Surface::Inner})
        check_hull(plan, cabinet.boards, surface);
    for (Board& board : cabinet.boards) {
        std::vector<Plane> ends;
        for (const std::optional<int> other : board.edge_on) ends.push_back(plane_of(cabinet.board(*other), 0));
        board.outline = face_at(board, 0, ends);
    }
    const int n = static_cast<int>(plan.walls.size());
    for (int b = 0; b < n + 2; ++b) {
        const WallPlan& wall = b < n ? plan.walls[static_cast<std::size_t>(b)] : b == n ? plan.top : plan.bottom;
        set_grain(cabinet.boards[static_cast<std::size_t>(b)], wall.grain, wall.grain_rule);
    }
    add_corners(plan, cabinet);
    check_laps(plan, cabinet);
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        Board& board = cabinet.boards[b];
        const std::vector<Plane> ends = sawn_ends(cabinet, static_cast<int>(b));
        const Polygon inner = face_at(board, -board.thickness() / 2, ends);
        const Polygon outer = face_at(board, board.thickness() / 2, ends);
        for (const Polygon& face : {inner, outer}) {
            if (is_simple(face) && signed_area(face) > 0) continue;
            throw InputError(board.where, "boards." + board.name,
                             "is so short that its lapped ends meet; other laps or thinner neighbours are needed");
        }
        board.sawn = longer_face(inner, outer);
    }
}

} // namespace stillwall
