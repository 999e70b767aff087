#pragma once
// Integration points on the faces that bound air: the curved six-node triangles inside, the flat facets outside.

#include "mesh/core/air_mesh.h"
#include "mesh/core/outer_mesh.h"
#include "mesh/core/tri6.h"

#include <array>
#include <vector>

namespace stillwall::solver::internal {

/// A point of a rule on the unit triangle r, s ≥ 0, r + s ≤ 1; weights sum to its area, 1/2.
struct TrianglePoint
{
    double r = 0, s = 0, weight = 0;
};

/// 16 points inside, positive weights, exact to degree 8.
/// @source D. A. Dunavant, Int. J. Numer. Meth. Eng. 21 (1985) 1129; the figures are from memory and checked by
/// integrating every monomial
///         to degree 8 in the tests
[[nodiscard]] const std::array<TrianglePoint, 16>& triangle_rule_8();

/// A point of a face with its piece of area.
struct FacePoint
{
    Vector3d at = Vector3d::Zero();    ///< [m]
    Vector3d dA = Vector3d::Zero();    ///< [m²] along the face's normal
    Tri6Values N = Tri6Values::Zero(); ///< shape functions of an air face's nodes; facets outside have none: zero
};

/// A point for each of triangle_rule_8(), in its order; dA is exact for curved faces. N Nᵀ dA is of degree 4 on a flat
/// face with straight sides, of degree 6 on a flat curved one: both exact.
[[nodiscard]] std::array<FacePoint, 16> face_points(const AirMesh& mesh, const AirMesh::Face& face);

/// 16 points of a triangle, 9 of a quadrilateral (bilinear, three by three Gauss).
[[nodiscard]] std::vector<FacePoint> face_points(const OuterMesh& mesh, const OuterMesh::Face& face);

} // namespace stillwall::solver::internal
