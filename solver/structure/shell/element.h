#pragma once
// Reissner–Mindlin shell elements with six unknowns per node and assumed strains.
//
// Unknowns per node, in this order: u_x u_y u_z [m], θ_x θ_y θ_z [rad], in space axes. A point at height z
// above the mid-surface moves by u + z β, β = θ × V with V the unit normal at the node.
// Nodes in the order of the family, anticlockwise about V.

#include "solver/structure/section/section.h"
#include "solver/structure/shell/family.h"

#include <Eigen/Core>

#include <vector>

namespace stillwall::solver {

/// Strain operator at one integration point.
struct StrainPoint
{
    Eigen::Matrix<double, 8, Eigen::Dynamic> B; ///< generalised strains (section.h) per unknown, shape (8, 6 n)
    Eigen::RowVectorXd drill;                   ///< θ·n − ½ curl u [rad] per unknown
    Eigen::VectorXd N;                          ///< shape functions
    Eigen::Matrix3Xd V;                         ///< nodal normals, shape (3, n)
    Eigen::Vector3d position;                   ///< [m]
    Eigen::Vector3d normal;
    double weight = 0; ///< quadrature weight × area [m²]
};

/// Strain operators at the integration points of one element.
/// @param X   node positions [m], shape (3, n)
/// @param e1  direction of the section's axis 1; projected on the surface
/// @throws DomainError when the element is folded over or degenerate
[[nodiscard]] std::vector<StrainPoint> strain_points(const ElementFamily& family, const Eigen::Matrix3Xd& X,
                                                     const Eigen::Vector3d& e1);

struct ElementMatrices
{
    Eigen::MatrixXd K; ///< stiffness, shape (6n, 6n)
    Eigen::MatrixXd M; ///< consistent mass
};

/// Stiffness and mass of one element.
///     K = ∫ BᵀCB + γ G t (θ·n − ½ curl u)² dA   drilling after Hughes & Brezzi,
///         Comput. Methods Appl. Mech. Eng. 72 (1989) 105; γ = drilling_factor
///     M = ∫ m0 u·u + 2 m1 u·β + m2 β·β + m2c (θ·n)² dA,   m2c = spin_inertia()
[[nodiscard]] ElementMatrices element_matrices(const std::vector<StrainPoint>& points, const Section& section);

/// γ above. The formulation is consistent for any γ > 0; the effect of the choice on a box is measured in
/// DEVELOPERS.md.
inline constexpr double drilling_factor = 0.1;

} // namespace stillwall::solver
