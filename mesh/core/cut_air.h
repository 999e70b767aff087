#pragma once
// Splits the air's elements along planes, so that a change of fluid lies between elements.

#include "mesh/core/air_mesh.h"

#include <vector>

namespace stillwall {

/// A plane in the air; n a unit vector.
struct CuttingPlane
{
    Vector3d point = Vector3d::Zero(), n = Vector3d::UnitZ();
    [[nodiscard]] double height_of(const Vector3d& p) const { return (p - point).dot(n); }
};

/// The same air with every plane between its elements, wherever the plane runs through it. Corners inside the air or in
/// the middle of a flat face, nearer to a plane than 0.4 of their shortest edge, are drawn onto it; what still crosses
/// is cut by bisection of its edges in one global order, so that neighbours agree. Other corners stay; those nearer
/// than 3 % of an edge count as on the plane. Curved elements keep their shape; they are cut on the plane at their
/// edges and straight in their own coordinates between. Thin slices remain where a plane grazes corners that must stay.
/// @throws MeshError when no face or element is left to carry a tag (a damaged mesh)
[[nodiscard]] AirMesh cut_air(AirMesh mesh, const std::vector<CuttingPlane>& planes);

} // namespace stillwall
