#pragma once
// How many element sides each edge gets.

#include "mesh/gmsh/internal/corners.h"

namespace stillwall::mesh {

struct Counts
{
    std::vector<int> n;                       ///< [edge] element sides
    std::vector<std::optional<Sides>> blocks; ///< [face] sides of faces to be meshed as a grid
};

/// What a face asks for because it came out badly before.
struct Remedy
{
    int finer = 0;       ///< 1, 2: two and three times as many sides
    bool thirds = false; ///< triangles cut into three (patch_by_thirds): an even number of sides on each of its edges
};

/// Element sides per edge such that opposite sides of four-sided faces agree and every other face has an even
/// number round it, without which it cannot be filled with quadrilaterals.
/// @param remedies  [face]
[[nodiscard]] Counts count_sides(const Drawing& drawing, const Cabinet& cabinet, const Sizes& sizes,
                                 const std::vector<Remedy>& remedies);

} // namespace stillwall::mesh
