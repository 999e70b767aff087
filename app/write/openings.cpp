#include "app/write/openings.h"

#include "app/write/numbers.h"

namespace stillwall::app {

std::string opening_size(const Opening& opening)
{
    using Shape = OpeningPlan::Shape;
    if (opening.shape == Shape::Circle) return "round " + in_mm(opening.width);
    const std::string sides = in_mm(opening.width) + " × " + in_mm(opening.height);
    if (opening.shape == Shape::Slot) return "slot " + sides;
    if (opening.shape == Shape::RoundedRectangle) return sides + " corners r " + in_mm(opening.corner_radius);
    return sides;
}

} // namespace stillwall::app
