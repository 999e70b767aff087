#pragma once
// Parts laid out on boards as they are sold.

#include "mesh/cabinet/cabinet.h"
#include "mesh/sawing/bevel.h"
#include "mesh/sawing/halving.h"
#include "mesh/sawing/workshop.h"

namespace stillwall {

/// A part as it is sawn out of a board, finished size.
struct SawnPart
{
    std::string name;
    std::string material;                 ///< lay-up label
    std::vector<LaidSheet> sheets;        ///< what it is glued up from; empty: one sheet
    double length = 0, width = 0;         ///< [m] of the rectangle around it; length along the grain where there is one
    double thickness = 0;                 ///< [m]
    bool has_grain = false;               ///< stiffer along one direction: not to be turned
    bool is_rectangle = true;             ///< else it is cut out of that rectangle
    int n_cutouts = 0;                    ///< windows and holes
    double mass = 0;                      ///< [kg] without what is fixed to it
    std::vector<std::string> notes;       ///< what else is cut: rebates, bevels, halving slots
    std::vector<Eigen::Vector2d> outline; ///< [m] finished, in the board's frame, slots taken out but for those through
    std::vector<HalvingSlot> slots;       ///< where plates cross
    BevelledBoard bevels;
};

/// What a joint's rebate does: the removable board is smaller, its neighbour longer.
/// The sheet parts of a cabinet, boards in their order: sizes after laps and rebates.
[[nodiscard]] std::vector<SawnPart> sawn_parts(const CabinetPlan& plan, const Cabinet& cabinet,
                                               const Bookkeeping& books);

/// A part on its board.
struct PlacedPart
{
    std::size_t part = 0;         ///< index into the parts
    double x = 0, y = 0;          ///< [m] of its corner from the board's corner, trim included
    double along = 0, across = 0; ///< [m] sizes there, along the board's length and width
};

struct UsedSheet
{
    std::size_t stock = 0; ///< index into WorkshopPlan::sheets
    std::vector<PlacedPart> parts;
    int n_cuts = 0;  ///< straight cuts right across the piece at hand, trimming included
    double used = 0; ///< [m²] of parts
};

struct SheetLayout
{
    std::vector<UsedSheet> sheets;
    std::vector<std::size_t> without_stock;                     ///< parts for which no board is listed
    std::vector<std::size_t> too_large;                         ///< parts that no listed board of their material holds
    [[nodiscard]] double waste(const WorkshopPlan& plan) const; ///< [-] share of the boards bought that is not parts
};

/// Places every part (blanks_of, blanks.h, where boards are glued up) with straight cuts that run right across (a panel
/// saw's), largest first, each where the least remains beside it; several orders are tried and the one with the fewest
/// boards, then the largest piece left over, is taken. Not the best there is: such packing has no fast exact answer.
/// @source guillotine packing with best fit: J. Jylänki, A Thousand Ways to Pack the Bin (2010), from memory
[[nodiscard]] SheetLayout lay_out(const std::vector<SawnPart>& parts, const WorkshopPlan& plan);

/// Price of the parts by their share of a board's area; nothing when a part's board has no price.
[[nodiscard]] std::optional<double> price_by_area(const std::vector<SawnPart>& parts, const WorkshopPlan& plan);

} // namespace stillwall
