#pragma once
// Slots by which plates that cross slide into each other.

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/polygon.h"

namespace stillwall {

/// A slot in a plate, open at its edge, that another plate crossing it slides into. Of the wood both have on their
/// common line, one is cut on one side of the middle and the other on the other side. Where the middle lies in a
/// window, whole lands are cut: right through where the window is the plate's own.
struct HalvingSlot
{
    int board = 0, partner = 0;
    Vector2d open = Vector2d::Zero(), blind = Vector2d::Zero(); ///< [m] ends of its middle line, in the board's frame
    /// [m]; for plates of thickness t (own) and t' (partner) that meet at the angle θ: t'/sin θ + t/|tan θ|, so that
    /// it is wide enough on both faces when sawn square.
    double width = 0;
    bool is_through = false; ///< cuts a land between edge and window right through

    [[nodiscard]] double length() const { return (open - blind).norm(); }
};

/// Two for every pair of braces that cross in wood, one in each; none where they meet only in windows.
[[nodiscard]] std::vector<HalvingSlot> halving_slots(const Cabinet& cabinet);

/// The four corners of a slot, anticlockwise [m].
[[nodiscard]] Polygon slot_outline(const HalvingSlot& slot);

/// The outline, anticlockwise, without what the slot takes from it; as it is where the slot does not cut in from its
/// edge.
[[nodiscard]] Polygon without_slot(const Polygon& outline, const HalvingSlot& slot);

} // namespace stillwall
