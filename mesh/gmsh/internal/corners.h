#pragma once
// Four-sided faces.

#include "mesh/gmsh/internal/drawing.h"

#include <array>

namespace stillwall::mesh {

/// The four sides of a face, each a chain of half edges, in order round the face.
using Sides = std::array<std::vector<HalfEdge>, 4>;

/// The sides of a face with one loop and exactly four corners, none of them re-entrant; nothing for other faces.
/// A corner turns by more than `sharp` [rad].
[[nodiscard]] std::optional<Sides> four_sides(const Drawing& drawing, const Face& face, double sharp);

[[nodiscard]] double chain_length(const Drawing& drawing, const std::vector<HalfEdge>& chain);

} // namespace stillwall::mesh
