#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/internal/build_plate.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/obstacles.h"
#include "mesh/cabinet/names.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

Cut cut_at(const Plate& plate, const Plate& other, double side, int index)
{
    // Keeps side·height_of(other) ≥ 0.
    const Vector2d gradient(other.frame.n.dot(plate.frame.e1), other.frame.n.dot(plate.frame.e2));
    const double length = gradient.norm();
    return {-side * gradient / length, side * other.frame.height_of(plate.frame.origin) / length, index};
}

bool are_parallel(const Frame& a, const Frame& b)
{
    return a.n.cross(b.n).norm() < 1e-6;
}

// A limit at another brace's face, or in its thickness, is meant as "up to that brace".
void snap_limits(Plate& plate, std::size_t own, const std::vector<Plate>& plates, int first_brace)
{
    const EdgedPolygon& shape = plate.shape;
    for (Cut& cut : plate.cuts) {
        for (std::size_t i = 0; i < shape.corners.size() && cut.edge_on == free_edge; ++i) {
            const Vector2d &a = shape.corners[i], &b = shape.corners[(i + 1) % shape.corners.size()];
            if (shape.edge_on[i] != free_edge || std::abs(cut.normal.dot(a) - cut.offset) > 1e-7 ||
                std::abs(cut.normal.dot(b) - cut.offset) > 1e-7)
                continue;
            for (std::size_t o = 0; o < plates.size(); ++o) {
                const Plate& other = plates[o];
                if (o == own || are_parallel(plate.frame, other.frame)) continue;
                Board board;
                board.frame = other.frame;
                board.layup = other.plan->layup;
                if (!is_side_at(plate.frame, a, b, board, other.shape.corners)) continue;
                const Vector3d inside = plate.frame.to_space(interior_point(shape.corners));
                const double side = other.frame.height_of(inside) > 0 ? 1 : -1;
                cut = cut_at(plate, other, side, first_brace + static_cast<int>(o));
                break;
            }
        }
    }
}

void end_at(Plate& plate, const std::string& name, const std::vector<Plate>& plates, const std::vector<Board>& walls)
{
    const int first_brace = static_cast<int>(walls.size());
    const std::string key = plate.key + ".ends_at";
    std::vector<std::string> known;
    for (const Plate& other : plates) {
        if (other.plan != plate.plan) known.push_back(other.plan->name);
    }
    const auto found = std::find_if(plates.begin(), plates.end(), [&](const Plate& p) { return p.plan->name == name; });
    if (found == plates.end() || found->plan == plate.plan)
        throw InputError(plate.plan->where, key, "there is no other brace '" + name + "'; " + name_hint(name, known));
    const int index = first_brace + static_cast<int>(found - plates.begin());
    const auto is_cut_there = [&](const Cut& cut) { return cut.edge_on == index; };
    if (std::any_of(plate.cuts.begin(), plate.cuts.end(), is_cut_there)) return; // a limit says so already
    const auto misses = [&] { return InputError(plate.plan->where, key, "does not reach brace '" + name + "'"); };
    if (are_parallel(plate.frame, found->frame)) throw misses();

    std::array<std::optional<EdgedPolygon>, 2> part;
    for (const std::size_t i : {0U, 1U}) {
        Plate trial = plate;
        trial.cuts.push_back(cut_at(plate, *found, i == 0 ? -1 : 1, index));
        const std::vector<EdgedPolygon> parts = cut_parts(trial, walls);
        if (!parts.empty()) part[i] = meant_part(parts, plate.reference);
    }
    if (!part[0] || !part[1]) throw misses();
    const double area_0 = signed_area(part[0]->corners), area_1 = signed_area(part[1]->corners);
    if (!plate.reference && std::abs(area_0 - area_1) < 1e-3 * area_0)
        throw InputError(plate.plan->where, key,
                         "'" + name + "' halves it; say which half with a limit such as 'from: {x: ...}'");
    const bool is_first = meant_part({*part[0], *part[1]}, plate.reference).corners == part[0]->corners;
    plate.cuts.push_back(cut_at(plate, *found, is_first ? -1 : 1, index));
}

Board plate_board(const Plate& plate)
{
    Board board;
    board.name = plate.plan->name;
    board.kind = Board::Kind::Brace;
    board.layup = plate.plan->layup;
    board.where = plate.plan->where;
    board.frame = plate.frame;
    board.outline = plate.shape.corners;
    for (const int other : plate.shape.edge_on)
        board.edge_on.push_back(other == free_edge ? std::nullopt : std::optional(other));
    if (plate.plan->plane == BracePlan::Plane::Slanted) {
        const Vector2d middle = bounds(board.outline).middle();
        board.frame.origin = plate.frame.to_space(middle);
        for (Vector2d& corner : board.outline) corner -= middle;
    }
    set_grain(board, plate.plan->grain, plate.plan->grain_rule);
    return board;
}

// Two boards glued flat onto each other are one board with more layers, not two plates.
void check_not_flat_on(const Board& plate, const Board& other, const std::string& key)
{
    if (plate.frame.n.cross(other.frame.n).norm() > std::sin(1 * std::numbers::pi / 180)) return;
    Polygon shadow;
    for (const Vector2d& corner : plate.outline) shadow.push_back(other.frame.to_board(plate.frame.to_space(corner)));
    if (signed_area(shadow) < 0) std::reverse(shadow.begin(), shadow.end());
    if (!overlap(shadow, other.outline)) return;
    const double gap = std::abs(other.frame.height_of(plate.frame.to_space(interior_point(plate.outline)))) -
                       (plate.thickness() + other.thickness()) / 2;
    if (gap >= least_land) return;
    throw InputError(plate.where, key,
                     "lies flat on or in '" + other.name + "' (" + in_mm(gap) +
                         " between their faces); give that board another layer instead, or move the plate");
}

} // namespace

void add_braces(const CabinetPlan& plan, Cabinet& cabinet)
{
    const std::vector<Board> walls = cabinet.boards;
    const Hull middle = make_hull(walls, Hull::Surface::Middle), outer = make_hull(walls, Hull::Surface::Outer);
    std::vector<Plate> plates;
    for (const BracePlan& brace : plan.braces) plates.push_back(make_plate(brace, walls, middle, outer));
    const std::vector<Plate> uncut = plates;
    for (std::size_t i = 0; i < plates.size(); ++i) {
        Plate& plate = plates[i];
        snap_limits(plate, i, uncut, static_cast<int>(walls.size()));
        for (const std::string& name : plate.plan->ends_at) end_at(plate, name, uncut, walls);
        const std::vector<EdgedPolygon> parts = cut_parts(plate, walls);
        if (parts.empty())
            throw InputError(plate.plan->where, plate.key, "the braces at which it ends leave nothing of it");
        plate.shape = meant_part(parts, plate.reference);
    }
    for (const Plate& plate : plates) {
        Board board = plate_board(plate);
        for (const Board& other : cabinet.boards) check_not_flat_on(board, other, plate.key);
        if (plate.plan->notched) notch_round_obstacles(obstacles(cabinet, proposed_room), cabinet, board);
        cabinet.boards.push_back(std::move(board));
    }
    add_brace_joints(cabinet);
    const Hull inner = make_hull(walls, Hull::Surface::Inner);
    for (std::size_t i = walls.size(); i < cabinet.boards.size(); ++i) {
        Board& board = cabinet.boards[i];
        const double half = board.thickness() / 2;
        board.sawn = longer_face(clear_face(cabinet, inner, static_cast<int>(i), -half),
                                 clear_face(cabinet, inner, static_cast<int>(i), half));
        if (board.sawn.size() < 3)
            throw InputError(board.where, "braces." + board.name,
                             "nothing of it is left between the faces of the walls");
    }
}

} // namespace stillwall
