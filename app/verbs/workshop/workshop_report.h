#pragma once
// What goes to the workshop: cut list, boards on sheets, drawings of the parts, weights, balance.

#include "mesh/cabinet/volume_lines.h"
#include "mesh/sawing/blanks.h"
#include "mesh/sawing/stability.h"

#include <string>
#include <vector>

namespace stillwall::app {

struct WorkshopReport
{
    const Cabinet& cabinet;
    const Bookkeeping& books;
    const WorkshopPlan& plan;
    std::vector<SawnPart> parts;  ///< boards, finished
    std::vector<SawnPart> blanks; ///< what is laid out
    SheetLayout layout;
    std::vector<VolumeLine> volumes;
    Stability stability;
};

[[nodiscard]] std::string workshop_text(const WorkshopReport& report);
[[nodiscard]] std::string workshop_json(const WorkshopReport& report);

/// The finished outline of a board, its holes and windows, and where braces stand on it, seen from outside (of a brace
/// from the side to which its normal points), in mm from the lower left corner of the rectangle around it. Layers
/// OUTLINE (halving slots taken out), CUTOUT, SLOT (halving slots right through into a window), MARK, REBATE (drivers'
/// flanges, their depth stands in the cut list), DRILL (pilot holes); holes as circles and as polylines with bulges,
/// nothing rounded to chords.
/// @source the drawing exchange format, release 12, as its maker publishes it (entities LINE, CIRCLE, POLYLINE), from
/// memory
[[nodiscard]] std::string part_dxf(const WorkshopReport& report, std::size_t part);

/// The same as a drawing to scale with its dimensions.
[[nodiscard]] std::string part_svg(const WorkshopReport& report, std::size_t part);

/// All sheets with the parts on them.
[[nodiscard]] std::string sheets_svg(const WorkshopReport& report);

/// A part's name as a file's.
[[nodiscard]] std::string part_file(const std::string& name);

} // namespace stillwall::app
