#pragma once
// How many element sides each edge gets.

#include "mesh/gmsh/internal/corners.h"

namespace stillwall::mesh {

struct Counts
{
    std::vector<int> n;                       ///< [edge] element sides
    std::vector<std::optional<Sides>> blocks; ///< [face] sides of faces to be meshed as a grid
};

/// Element sides per edge such that opposite sides of four-sided faces agree and every other face has an even
/// number round it, without which it cannot be filled with quadrilaterals.
/// @param refine  [face] 0, or 1 and 2 for two and three times as many sides because the face came out badly
///                before; may be empty
[[nodiscard]] Counts count_sides(const Drawing& drawing, const Cabinet& cabinet, const Sizes& sizes,
                                 const std::vector<int>& refine);

} // namespace stillwall::mesh
