#pragma once
// The steps of build_cabinet(), in the order they run. For mesh/core's own use.

#include "mesh/cabinet/cabinet.h"

#include <string>
#include <string_view>

namespace stillwall {

/// A length in millimetres for a message, e.g. "18 mm", "0.05 mm".
[[nodiscard]] std::string in_mm(double metres);

/// Lengths nearer than this to a face still count as joined or inside; also the least land between
/// holes and the shortest side a board may have [m].
inline constexpr double least_land = 1e-3;

/// Names, dimensions, thicknesses, indices: what can be judged without geometry.
void check_plan(const CabinetPlan& plan);

/// Outline walls, top, bottom: frames, outlines, corners by lap, sawn shapes.
void add_walls(const CabinetPlan& plan, Cabinet& cabinet);

/// Plates: outlines, joints with walls and with each other, sawn shapes.
void add_braces(const CabinetPlan& plan, Cabinet& cabinet);

/// Tee and Cross junctions, and corners, of the braces; each brace must have one at least.
void add_brace_joints(Cabinet& cabinet);

/// Sets the direction of axis 1 of the lay-up; the outline must be known.
void set_grain(Board& board, double grain, GrainRule rule);

/// Openings in the boards of one kind; unknown boards count as braces.
void add_openings(const CabinetPlan& plan, Cabinet& cabinet, Board::Kind kind);
/// Weights on boards.
void add_masses(const CabinetPlan& plan, Cabinet& cabinet);
void add_rods(const CabinetPlan& plan, Cabinet& cabinet);
void add_ribs(const CabinetPlan& plan, Cabinet& cabinet);
void add_supports(const CabinetPlan& plan, Cabinet& cabinet);

/// Checks that the rear of each driver tied to a board reaches it.
void check_rear_ties(const Cabinet& cabinet);

/// Layers on faces: regions, areas; none may overlap another on its face.
void add_layers(const CabinetPlan& plan, Cabinet& cabinet);

/// Fills Junction::spring; the entry of a pair goes before that of a whole board.
void add_line_springs(const CabinetPlan& plan, Cabinet& cabinet);

/// Stiffness of feet given by their static deflection, k = m g / (n δ) with the cabinet's mass m shared by its n feet.
/// All other parts must be in place.
void set_deflections(const CabinetPlan& plan, Cabinet& cabinet);

/// Which cabinet coordinates fix a point on a board, see OpeningPlan.
struct BoardPoint
{
    std::optional<double> x, y, z, along;
};

/// A point given in cabinet coordinates, in the board's frame.
/// @param key  dotted path for the message
/// @throws InputError when other coordinates are given than the board needs
[[nodiscard]] Vector2d point_on_board(const Cabinet& cabinet, int board, const BoardPoint& point,
                                      const SourcePos& where, std::string_view key);

/// Index of a board by name.
/// @throws InputError with the nearest name
[[nodiscard]] int find_board(const Cabinet& cabinet, std::string_view name, const SourcePos& where,
                             std::string_view key);

/// The finished face of a board whose ends may be slanted: every side where the longer of its two
/// faces has it. Faces with different corner counts: the larger one.
[[nodiscard]] std::vector<Vector2d> longer_face(const std::vector<Vector2d>& a, const std::vector<Vector2d>& b);

} // namespace stillwall
