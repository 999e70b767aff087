#pragma once
// Where a mode's energy sits, kept in a form from which every derivative follows.
//
// All energies are bilinear in the shape: with φ = a + i b
//     φᴴ X φ = X(a,a) + X(b,b)                   what is stored and lost: shares, loss factor
//     φᵀ X φ = X(a,a) − X(b,b) + 2 i X(a,b)      what the eigenvalue's derivatives are made of
// so moments of two real fields suffice.

#include "solver/structure/structure.h"

#include <complex>

namespace stillwall::solver {

/// Moments of a pair of real fields. Strain energy is taken as aᵀKb, kinetic as aᵀMb.
struct Moments
{
    std::vector<Matrix8d> strain; ///< per group: S = ∫ sym(ε_a ε_bᵀ) dA, so that aᵀKb of the group = C : S
    std::vector<double> drilling; ///< per group: ∫ d_a d_b dA, d = θ·n − ½ curl u
    std::vector<Eigen::Vector4d> kinetic; ///< per group: ∫u·u, ∫(u·β + β·u), ∫β·β, ∫(θ·n)² dA
    std::vector<Eigen::Vector3d> film;    ///< per film: ∫ of the squares of γ1, γ2, ε
    std::vector<double> attached_strain, attached_kinetic; ///< per attachment
};

/// Moments of one mode.
struct ModeEnergy
{
    Moments power;            ///< φᴴ·φ
    Moments pair_re, pair_im; ///< φᵀ·φ; pair_im is empty for a real shape
    bool is_real = true;
    double volume = 0; ///< [m²/kg^½] ∫ Re u·n dA over the walls and what closes their openings, outward
};

/// @param phi  modes over the structure's unknowns, one a column, φᵀMφ = 1
/// @param is_real  the imaginary parts are 0
[[nodiscard]] std::vector<ModeEnergy> mode_energies(const Cabinet& cabinet, const ShellMesh& mesh,
                                                    const Structure& structure, const Eigen::MatrixXcd& phi,
                                                    bool is_real);

/// The same modes' moments where only the attachments differ from those of the structure they were made for.
[[nodiscard]] std::vector<ModeEnergy> with_attachments(std::vector<ModeEnergy> energies, const Structure& structure,
                                                       const Eigen::MatrixXcd& phi);

/// Sections, films and attachments with all materials at one frequency or varied: what the moments are contracted with.
struct StructureState
{
    std::vector<Material> materials;                       ///< as Cabinet::materials
    std::vector<Section> sections;                         ///< per group
    std::vector<Eigen::Vector3d> film_k;                   ///< per film
    std::vector<double> film_loss;                         ///< per film [-]
    std::vector<double> attached_stiffness, attached_mass; ///< per attachment, factors on the structure's own
    std::vector<double> attached_loss;                     ///< per attachment [-]
};

/// The structure's own state with damping layers at this frequency.
[[nodiscard]] StructureState state_at(const Cabinet& cabinet, const Structure& structure, double f_Hz);

/// aᵀKb, the loss (aᵀK_loss b) and aᵀMb of a group, a film, an attachment, the whole.
struct Energy
{
    double strain = 0, loss = 0, kinetic = 0;
    Energy& operator+=(const Energy& e)
    {
        strain += e.strain, loss += e.loss, kinetic += e.kinetic;
        return *this;
    }
};
[[nodiscard]] Energy group_energy(const Moments& moments, std::size_t group, const Section& section);
[[nodiscard]] Energy film_energy(const Moments& moments, std::size_t film, const StructureState& state);
[[nodiscard]] Energy attached_energy(const Moments& moments, std::size_t attachment, const StructureState& state);
[[nodiscard]] Energy total_energy(const Moments& moments, const StructureState& state);

/// φᵀ(K + i K_loss)φ and φᵀMφ of a mode in some state.
struct PairEnergy
{
    std::complex<double> stiffness, mass;
};
[[nodiscard]] PairEnergy pair_energy(const ModeEnergy& energy, const StructureState& state);

} // namespace stillwall::solver
