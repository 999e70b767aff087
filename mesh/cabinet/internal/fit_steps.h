#pragma once
// The steps of clashes() (fit.h). For mesh/cabinet's own use.

#include "mesh/cabinet/fit.h"

namespace stillwall {

/// Flanges over edges, holes and other flanges; rebates under layers; screws at edges and holes.
void add_flange_clashes(const Cabinet& cabinet, double spare, std::vector<Clash>& found);

} // namespace stillwall
