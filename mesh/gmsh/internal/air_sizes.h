#pragma once
// Sizes of the air's elements: small at edges of solids that stand out into the air and at ports, growing away from
// them.

#include "mesh/gmsh/internal/air_tags.h"

#include <array>
#include <vector>

namespace stillwall::mesh {

/// An edge around which the air takes up more than a half turn, or of a port's inner end.
struct AirEdge
{
    std::vector<std::array<Vector3d, 2>> pieces; ///< straight
    double size = 0;                             ///< [m] of the elements there
};

/// Such edges of the drawing in the open Gmsh model. Sizes: at a window 1/14 of its width, so that its mass of air
/// comes out equally well whatever its size, and at most 1/6 of the element size; at free ends of braces 1/10, at
/// re-entrant corners of the outline 1/6, at inserts and bars 1/2 of the element size. Edges of ports' inner ends,
/// flush ones and bare holes as well: 1/6 of the port's lesser width, so that the mass of air before it comes out to 1
/// % (4 % without), but not below 1/12 of the element size.
[[nodiscard]] std::vector<AirEdge> reentrant_edges(const AirTagger& tagger, double element_size);

/// Around such an edge the particle velocity grows without bound, as r^(−1/3) at a square one, and elements of one size
/// lose two thirds of their order: a window's mass of air comes out too small. Elements shrink towards the edge.
/// @source G. Strang, G. J. Fix, An Analysis of the Finite Element Method (1973), ch. 8, for the principle
class AirSizes
{
public:
    AirSizes(const std::vector<AirEdge>& edges, double element_size);

    /// Wanted size [m] at a point.
    [[nodiscard]] double at(const Vector3d& p) const;

private:
    struct Piece
    {
        Vector3d from, way;
        double size;
    };
    std::vector<Piece> pieces_;
    double element_size_;
};

} // namespace stillwall::mesh
