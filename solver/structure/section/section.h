#pragma once
// Stiffness, mass and loss per unit area of a laminated board, from its plies.
//
// Generalised strains and stress resultants, in the board's axes (1 = e1, 2 = e2, z along n):
//     ε = (ε11, ε22, 2ε12, κ11, κ22, 2κ12, γ13, γ23)        membrane [-], curvature [1/m], shear [-]
//     σ = (N11, N22, N12, M11, M22, M12, Q1, Q2)            [N/m], [N], [N/m]
//     σ = C ε,   C = [A B 0; B D 0; 0 0 As]
// The displacement at height z is u + z β with β the change of the director.

#include "mesh/cabinet/material.h"

#include <Eigen/Core>

#include <span>
#include <vector>

namespace stillwall::solver {

using Matrix8d = Eigen::Matrix<double, 8, 8>;

struct Section
{
    Matrix8d C = Matrix8d::Zero(); ///< stiffness, units as above
    Matrix8d C_loss =
        Matrix8d::Zero();    ///< Σ over plies of (loss factor × its share of C): dissipated / (2π) per energy
    double mass = 0;         ///< m0 = ∫ρ dz [kg/m²]
    double mass_moment = 0;  ///< m1 = ∫ρ z dz [kg/m]
    double mass_inertia = 0; ///< m2 = ∫ρ z² dz [kg]

    /// [kg] inertia of turning about the normal, a formal one: m2 about the section's own centre. About a distant
    /// reference surface it would swing with in-plane motions that are none.
    [[nodiscard]] double spin_inertia() const { return mass > 0 ? mass_inertia - mass_moment * mass_moment / mass : 0; }
    double thickness = 0; ///< [m]
    double G12_mean = 0;  ///< [Pa] A66/t, sets the drilling stiffness
};

/// Section of a lay-up by first-order laminate theory with plane-stress ply stiffness and transverse shear
/// from energy equivalence in cylindrical bending along the lay-up's zero direction and across it.
///
/// @param layup  plies from z = −t/2 to +t/2; each thickness > 0 [m]
/// @param grain  [rad] from e1 to the lay-up's zero direction
/// @throws DomainError  when a ply's constants are not positive definite
/// @source A, B, D: Jones, Mechanics of Composite Materials, ch. 4. Shear: Whitney, J. Appl. Mech. 40 (1973) 302;
///         Vlachoutsis, Int. J. Numer. Meth. Eng. 33 (1992) 925.
[[nodiscard]] Section make_section(const Layup& layup, const std::vector<Material>& materials, double grain);

/// The same for plies that start at height z_bottom above the reference surface [m]: one leaf of a board whose soft
/// layers are elements of their own (stack.h), or a board with a sheet on one face. B and the mass moment carry the
/// offset. Where the theory stops: one shear angle through the whole thickness. A layer so soft that the sheets beside
/// it bend on their own (shear modulus below about 1/200 of their Young's modulus) must not lie inside; stack.h says
/// when.
[[nodiscard]] Section make_section(std::span<const Ply> plies, const std::vector<Material>& materials, double grain,
                                   double z_bottom);

} // namespace stillwall::solver
