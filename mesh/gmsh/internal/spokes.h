#pragma once
// Short cuts from a rim across the neck of wood beside it.

#include "mesh/gmsh/internal/layout.h"

namespace stillwall::mesh {

/// Adds a spoke from each round rim to every line or other rim that it nears to less than about one element, so
/// that the nodes on both sides of the neck face each other.
void add_neck_spokes(std::vector<Curve>& curves, const Board& board, const Sizes& sizes);

} // namespace stillwall::mesh
