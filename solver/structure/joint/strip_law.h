#pragma once
// What the overlap strip of a joint is worth: factors on the board's stiffness between the junction line and the
// neighbour's face, so that the mid-surface model yields under load as the solid joint does.

#include "mesh/cabinet/cabinet.h"
#include "solver/structure/joint/piece.h"
#include "solver/structure/section/section.h"

#include <map>

namespace stillwall::solver {

/// Flexibility of a strip, n across the strip (from the junction line into the board), s along it.
struct StripLaw
{
    /// (ε_nn, γ_n, κ_nn) per (N_nn, Q_n, M_nn) at ε_ss = κ_ss = 0, z towards the other board, relative to the bare
    /// board: with C the board's own 3×3 stiffness and C = L Lᵀ, the strip's flexibility is L⁻ᵀ F L⁻¹.
    Eigen::Matrix3d F = Eigen::Matrix3d::Identity();
    double in_plane_shear = 1; ///< factor on the stiffness N_ns
    double along = 1;          ///< factor on N_ss, M_ss: < 1 where the block's wood is counted elsewhere
    double mass = 1;           ///< factor on the mass: likewise
};

struct JointLaw
{
    StripLaw row, column;
    double torsion = 0; ///< [N·m²] of the block about the edge beyond its strips' own twist, ≥ 0
    double misfit = 0; ///< relative Frobenius distance of the strips' compliance from the solid's, bare strips' as unit
};

/// Joints' laws by what enters their slice: one build of a structure hands them to the next of a nearly equal cabinet.
using LawCache = std::map<std::vector<double>, JointLaw>;

/// Fits the strips' flexibilities to the solid joint: linear least squares over all self-equilibrated loads, relative
/// to the bare strips' energy; each F is kept positive definite.
[[nodiscard]] JointLaw strip_law(const JointPiece& piece);

/// Slice properties of a laminated board cut across direction n.
/// @param section    in the board's axes
/// @param direction  [rad] of n from the board's e1
[[nodiscard]] SliceMaterial slice_material(const Layup& layup, const std::vector<Material>& materials, double grain,
                                           double direction);

/// Section with a strip's law, n at `direction` [rad] from the section's axis 1 and pointing away from the junction
/// line.
/// @param side  +1 when the other board lies on the section's +z side, −1 on the other, 0 on both
[[nodiscard]] Section with_strip(const Section& section, const StripLaw& law, double direction, double side);

} // namespace stillwall::solver
