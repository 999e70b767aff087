#pragma once
// Where a mode's energy sits, kept in a form from which every derivative follows.

#include "solver/modes/structure.h"

namespace stillwall::solver {

/// Energies of one mode. Strain energy is taken as φᵀKφ (twice the energy), kinetic as φᵀMφ.
struct ModeEnergy
{
    std::vector<Matrix8d> strain_moment;     ///< per group: S = ∫ε εᵀ dA, so that φᵀKφ of the group = C : S
    std::vector<double> drilling;            ///< per group: ∫(θ·n − ½ curl u)² dA
    std::vector<Eigen::Vector3d> kinetic_moment; ///< per group: ∫u·u, 2∫u·β, ∫(β·β + drilling) dA
    std::vector<double> attached_strain, attached_kinetic; ///< per attachment
    double volume = 0;                       ///< [m²/kg^½] ∫u·n dA over the walls and what closes their openings, outward
};

/// @param phi  mass-normalised modes over the structure's unknowns, one a column
[[nodiscard]] std::vector<ModeEnergy> mode_energies(const Cabinet& cabinet, const ShellMesh& mesh,
                                                    const Structure& structure, const Eigen::MatrixXd& phi);

/// φᵀKφ and φᵀMφ of one group for a section (its own, or a derivative of it).
[[nodiscard]] double group_strain(const ModeEnergy& energy, std::size_t group, const Section& section);
[[nodiscard]] double group_loss(const ModeEnergy& energy, std::size_t group, const Section& section);
[[nodiscard]] double group_kinetic(const ModeEnergy& energy, std::size_t group, const Section& section);

} // namespace stillwall::solver
