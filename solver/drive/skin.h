#pragma once
// Where wood touches air: motion of the boards' faces at points that share no nodes with the shell mesh.

#include "mesh/core/air_mesh.h"
#include "mesh/core/outer_mesh.h"
#include "solver/structure/structure.h"

#include <optional>

namespace stillwall::solver {

using RowMatrix = Eigen::SparseMatrix<double, Eigen::RowMajor>;

/// A point on a face.
struct SkinPoint
{
    Vector3d at;     ///< [m]
    Vector3d normal; ///< unit; the motion along it is wanted
    int board = 0;
    /// It moves with the insert in this opening of the board (with the board itself if there is none).
    std::optional<int> opening;
};

/// Motion along the normals from the structure's unknowns, one row a point. The point is projected on its board's
/// mid-plane, at the nearest place of the mesh when it lies beyond (ends that run past the neighbour's mid-plane), and
/// carried out rigidly:
///     u(x) = u₀ + θ₀ × (x − x₀)
/// with the base leaf's shape functions; an insert's points move with its RimTap along its axis.
/// @return  shape (points, 6 structure nodes)
[[nodiscard]] RowMatrix normal_motion(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                      const std::vector<SkinPoint>& points);

/// C = ∫ N uₙ dS over the air's boundary, from the structure's unknowns to the air's nodes, uₙ out of the air:
///     H p − ω² Q p = ρ ω² C u,     (K − ω² M) u = … + Cᵀ p
/// Boards, layers, ribs, holes and bodies of inserts move; rods and ports' mouths stand still. Exact for quadratic p
/// times quadratic uₙ on flat faces.
/// @return  shape (air nodes, 6 structure nodes) [m²]
[[nodiscard]] RowMatrix air_coupling(const Cabinet& cabinet, const ShellMesh& shell, const Structure& structure,
                                     const AirMesh& air);

/// Mean outward normal motion of the outer facets [-], by Gauss points; 0 on Source facets' own motion (the cone's),
/// whose frame is the insert: they move with it like On::Insert.
/// @return  shape (faces, 6 structure nodes)
[[nodiscard]] RowMatrix outer_motion(const Cabinet& cabinet, const ShellMesh& shell, const Structure& structure,
                                     const OuterMesh& outer);

} // namespace stillwall::solver
