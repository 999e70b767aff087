#pragma once
// What stands in the air, as shapes: braces as slabs, inserts as bodies. Plain geometry, no Gmsh.

#include "mesh/cabinet/build_hull.h"

#include <vector>

namespace stillwall::mesh {

/// A brace as a slab: `region` × [−t/2, t/2], less what lies beyond `cuts` (on their +n side). At walls the region
/// reaches past the inner face, at other braces into their thickness, so that faces of different solids do not
/// coincide.
struct AirBrace
{
    int board = 0;
    Polygon region; ///< [m] in the board's frame
    std::vector<Plane> cuts;
};

[[nodiscard]] std::vector<AirBrace> air_braces(const Cabinet& cabinet);

/// Whether the point lies in the slab's wood.
[[nodiscard]] bool is_in(const AirBrace& brace, const Board& board, const Vector3d& p);

/// The body of an insert.
struct AirBody
{
    int board = 0, opening = 0;
    bool is_round = false; ///< frustum; else a prism of the hole's outline
    double scale_base = 1; ///< width at the board's −n face over the hole's width
    double scale_end = 1;  ///< width at the end over the hole's width
    double depth = 0;      ///< [m] from the −n face
};

/// Bodies of all inserts with a volume.
/// @throws InputError when a body does not fit
[[nodiscard]] std::vector<AirBody> air_bodies(const Cabinet& cabinet);

/// The opening made wider by a factor about its centre.
[[nodiscard]] Opening scaled(const Opening& opening, double factor);

/// A layer in the air as a sheet on its board's face. It runs on across the holes of a wall and over windows that an
/// insert closes; edges that lie at a neighbour reach into it.
struct AirLayer
{
    int layer = 0; ///< index into Cabinet::layers
    int board = 0;
    Polygon region;           ///< [m] in the board's frame
    double low = 0, high = 0; ///< [m] from the board's mid-plane, to the layer's side
};

/// Layers on the inner faces of walls and on braces.
[[nodiscard]] std::vector<AirLayer> air_layers(const Cabinet& cabinet);

/// Whether the point lies in the layer.
[[nodiscard]] bool is_in(const AirLayer& layer, const Cabinet& cabinet, const Vector3d& p);

/// Distance of the point behind the board's −n face [m], positive inwards.
[[nodiscard]] double depth_behind(const Board& board, const Vector3d& p);

/// Whether the point lies in the body.
[[nodiscard]] bool is_in(const AirBody& body, const Board& board, const Vector3d& p);

/// Directions of a rod's section: `height` along [0], `width` along [1], as the beam has them.
[[nodiscard]] std::array<Vector3d, 2> section_axes(const Rod& rod);

} // namespace stillwall::mesh
