#pragma once
// Which of two prices a table shows.

namespace stillwall::app {

/// One line below a table with the column "Price".
inline constexpr const char* price_note =
    "  Price: by area, the parts' share of the boards; what the boards to buy cost is told by `workshop`.\n";

} // namespace stillwall::app
