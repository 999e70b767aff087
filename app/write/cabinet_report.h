#pragma once
// The workshop's view of a cabinet: boards, openings, braces, litres, mass, cut list.

#include "mesh/cabinet/cabinet.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// Outer width (x), depth (y) and height (z) of the smallest upright box around the cabinet [m].
[[nodiscard]] Vector3d outer_size(const CabinetPlan& plan);

struct CabinetReport
{
    const Cabinet& cabinet;
    const Bookkeeping& books;
    Vector3d outer_size = Vector3d::Zero(); ///< [m]
};

/// Equal pieces of the cut list, by material, thickness and size to a tenth of a millimetre.
struct CutLine
{
    std::string material;
    double length = 0, width = 0, thickness = 0; ///< [m] blank
    std::vector<std::string> names;
};

[[nodiscard]] std::vector<CutLine> cut_list(const Bookkeeping& books);

/// Share of a board's face that its openings take away [-].
[[nodiscard]] double open_share(const Board& board);

/// Mass of rods and ribs [kg]: what is neither board nor layer nor fitting.
[[nodiscard]] double bar_mass(const Bookkeeping& books);

/// Its name, or its file where it has none.
[[nodiscard]] std::string cabinet_title(const Cabinet& cabinet);

/// Two lines: title; size, boards, mass and litres.
[[nodiscard]] std::string cabinet_head(const CabinetReport& report);

/// Mass and what makes it up, e.g. "8.93 kg: boards 6.31, drivers and fittings 2.62".
[[nodiscard]] std::string mass_words(const Bookkeeping& books);

/// The report for people, at most 120 columns wide.
[[nodiscard]] std::string check_text(const CabinetReport& report);

/// The same with units in the keys.
[[nodiscard]] std::string check_json(const CabinetReport& report);

} // namespace stillwall::app
