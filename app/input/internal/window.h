#pragma once
// What openings in walls and windows in braces have in common.

#include "app/input/internal/place.h"

namespace stillwall::app {

/// Shape and size of a hole from its keys.
void read_hole_size(const YamlNode& hole, OpeningPlan& opening);

/// Puts the centre of a hole there.
void set_centre(const BoardPlace& place, OpeningPlan& opening);

} // namespace stillwall::app
