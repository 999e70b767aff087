#include "mesh/cabinet/build.h"

#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/curved_walls.h"
#include "mesh/cabinet/names.h"
#include "mesh/cabinet/polygon.h"

#include <numbers>

namespace stillwall {

std::optional<int> Cabinet::board_index(std::string_view board_name) const
{
    for (std::size_t i = 0; i < boards.size(); ++i) {
        if (boards[i].name == board_name) return static_cast<int>(i);
    }
    return std::nullopt;
}

int find_board(const Cabinet& cabinet, std::string_view name, const SourcePos& where, std::string_view key)
{
    if (const auto board = cabinet.board_index(name)) return *board;
    std::vector<std::string> known;
    for (const Board& b : cabinet.boards) known.push_back(b.name);
    throw InputError(where, key, "there is no board '" + std::string(name) + "'; " + name_hint(name, known));
}

void set_grain(Board& board, double grain, GrainRule rule)
{
    constexpr double equal_sides = 1e-4; // [m]
    board.grain = grain;
    if (rule == GrainRule::Angle) return;
    const Vector2d size = bounds(board.outline).size();
    board.grain = size.y() > size.x() + equal_sides ? std::numbers::pi / 2 : 0;
}

namespace {

/// All walls flat.
Cabinet build_flat(const CabinetPlan& plan)
{
    Cabinet cabinet{plan};
    add_walls(plan, cabinet);
    join_facets(plan, cabinet);
    add_openings(plan, cabinet, Board::Kind::Wall); // braces are notched round what sits in walls
    add_braces(plan, cabinet);
    add_openings(plan, cabinet, Board::Kind::Brace);
    check_rear_ties(cabinet);
    add_rods(plan, cabinet);
    add_ribs(plan, cabinet);
    add_masses(plan, cabinet);
    add_layers(plan, cabinet);
    add_line_springs(plan, cabinet);
    add_supports(plan, cabinet);
    set_deflections(plan, cabinet);
    return cabinet;
}

} // namespace

Cabinet build_cabinet(const CabinetPlan& plan)
{
    check_plan(plan);
    if (!has_curved_walls(plan)) return build_flat(plan);
    check_curved(plan);
    std::vector<int> wall;
    return bent_cabinet(plan, build_flat(faceted(plan, wall)), wall);
}

} // namespace stillwall
