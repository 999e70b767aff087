#pragma once
// The air inside in few coordinates: its modes between rigid walls, and its near fields before what pushes it.

#include "solver/air/regions.h"

#include <optional>

namespace stillwall::solver {

/// p ≈ Ψ a with ΨᵀQΨ = 1, Q of open air everywhere. At a frequency
///     A(ω) = Σ_r [ H_r/ρ_r − ω² V_r/K_r ] + jω y B,    A a = ω² Ψᵀ(out-of-air displacements)
struct AirBasis
{
    struct Region
    {
        double flow_resistivity = 0; ///< [Pa·s/m²]; 0: open air
        Eigen::MatrixXd H, V;        ///< reduced, shape (n, n)
    };
    Eigen::MatrixXd Psi;         ///< shape (n_nodes, n)
    std::vector<Region> regions; ///< by flow resistivity, those that hold some air
    Eigen::MatrixXd B;           ///< reduced faces, shape (n, n)
    Eigen::MatrixXd inputs;      ///< Ψᵀw, one column per opening asked for
    Eigen::VectorXd mode_Hz; ///< the first columns of Ψ: modes of open air; 0, in the mesh's order, for each chamber's
                             ///< uniform pressure
    double volume = 0;       ///< [m³]
    double face_area = 0;    ///< [m²]
    Air air;

    [[nodiscard]] Eigen::Index size() const { return Psi.cols(); }
    /// Σ V_r/K_r(ω).
    [[nodiscard]] Eigen::MatrixXcd compressibility(double f_Hz) const;
    /// A(ω) for a face admittance y [m²·s/kg] per area.
    [[nodiscard]] Eigen::MatrixXcd stiffness(double f_Hz, double face_admittance) const;
};

/// An opening by its place in the cabinet.
struct OpeningId
{
    int board = 0, opening = 0;
};

/// The air between rigid walls: what needs no walls' motion.
struct RigidWallAir
{
    std::vector<RegionMatrices> regions;
    AirMatrices open; ///< open air everywhere
    std::optional<AirMatrices>
        filled; ///< the air as its fillings make it at one frequency, losses left out; when only some of it is filled
    std::shared_ptr<const internal::FrontTree> ordering;
    Eigen::MatrixXd Psi;     ///< the basis so far, shape (n_nodes, n)
    Eigen::VectorXd mode_Hz; ///< modes of open air, the first columns of Psi
    Eigen::MatrixXd inputs;  ///< w of the openings, shape (n_nodes, openings)
    Air air;
    double f_top = 0; ///< [Hz]
};

/// The space holds the modes of open air below f_top; where only a part is filled also those of the air as the fillings
/// make it (real parts of densities and moduli at f_top/3) below 0.75 f_top, for the kinks at their faces; and the
/// openings' near fields (H + σQ)⁻¹ w of both.
/// @param mesh   fitted to the fillings, see fit_to_fillings
/// @param f_top  [Hz]
[[nodiscard]] RigidWallAir rigid_wall_air(const Cabinet& cabinet, const AirMesh& mesh,
                                          const std::vector<Filling>& fillings, const std::vector<OpeningId>& openings,
                                          double f_top);

[[nodiscard]] AirBasis air_basis(const AirMesh& mesh, const std::vector<Filling>& fillings, const RigidWallAir& rigid);

/// Mass that the walls carry along in near fields which the basis does not hold [kg per wall coordinate squared]: the
/// residual flexibility of the air, ρ Cᵀ[(H + σQ)⁻¹ − Ψ(Ψᵀ(H + σQ)Ψ)⁻¹Ψᵀ]C, as of open air.
/// @param walls  C V: ∫ N uₙ dS of the wall basis, shape (n_nodes, n)
/// @source residual flexibility: R. H. MacNeal, Comput. Struct. 1 (1971) 581
[[nodiscard]] Eigen::MatrixXd carried_mass(const RigidWallAir& rigid, const Eigen::MatrixXd& walls);

} // namespace stillwall::solver
