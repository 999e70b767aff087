#include "mesh/core/outer_mesh.h"

#include <Eigen/Geometry>

namespace stillwall {

Vector3d area_vector(const OuterMesh& mesh, const OuterMesh::Face& face)
{
    const auto at = [&](std::size_t c) -> const Vector3d& {
        return mesh.vertices[static_cast<std::size_t>(face.corner[c])];
    };
    if (face.corner[3] < 0) return 0.5 * (at(1) - at(0)).cross(at(2) - at(0));
    return 0.5 * (at(2) - at(0)).cross(at(3) - at(1)); // half the cross product of the diagonals
}

} // namespace stillwall
