#pragma once
// The air inside by regions of different fluid, the absorption of its boundary, and what pushes it.

#include "solver/air/acoustic.h"
#include "solver/air/porous.h"

#include <optional>
#include <vector>

namespace stillwall::solver {

/// The same air with its elements cut along the plane faces of the fillings (cut_air.h): linings at their thickness,
/// regions at their six sides where these run through the air. To be called before anything is computed on the mesh.
/// Without it a dense lining of 50 mm in elements of 57 mm lets the first waves ring up to 4 dB too high.
[[nodiscard]] AirMesh fit_to_fillings(const Cabinet& cabinet, AirMesh mesh, const std::vector<Filling>& fillings);

/// Matrices of one region without its fluid: ∫ ∇N·∇Nᵀ dV [m] and ∫ N Nᵀ dV [m³]. All regions have one pattern, that of
/// the whole mesh, so their values can be added place by place.
struct RegionMatrices
{
    std::optional<std::size_t> filling; ///< index into SoundSetting::fillings; nothing: open air
    double volume = 0;                  ///< [m³]
    SparseMatrix H, V;                  ///< symmetric
};

/// Region 0 is open air, then one per filling (an empty one stays, with volume 0); where fillings overlap the later one
/// holds. With e^{+jωt}
///     Σ_r [ H_r/ρ_r(ω) − ω² V_r/K_r(ω) ] p + jω (β/(ρ₀c₀)) B p = ω² C u − jω Σ w U
/// C and u as in coupling/skin.h (uₙ out of the air), w and U as in opening_input(). The regions add up to the whole
/// mesh exactly.
///
/// On a mesh from fit_to_fillings() nearly no face of a filling runs through an element. Where one does (edges of
/// linings, round openings), the tetrahedron is shared out in 64 parts, each by the share that lies in the filling:
/// exact in volume for one plane face, and to a part's size where several meet. The pressure is continuous; the kink of
/// its slope inside such a tetrahedron is smeared, and the filling seems thinner by a share of the element.
///
/// A lining reaches from the plane of its board's inner face (both faces of a brace; layers not counted) over the
/// board's outline to the middle of its neighbours, and leaves the board's openings free.
/// @throws MeshError when an element folds over
[[nodiscard]] std::vector<RegionMatrices> assemble_regions(const Cabinet& cabinet, const AirMesh& mesh,
                                                           const std::vector<Filling>& fillings);

/// B = ∫ N Nᵀ dS [m²] over boards, layers, rods and ribs: where bare faces absorb.
[[nodiscard]] SparseMatrix assemble_faces(const AirMesh& mesh);

/// Real admittance β = ρ₀c₀/Z of a locally reacting face that absorbs the share α of sound from all sides (β < 0.6, the
/// nearly rigid one of two solutions):
///     α = ∫₀¹ [4βμ/(μ + β)²] 2μ dμ = 8 β [1 + β/(1 + β) − 2 β ln(1 + 1/β)],   8 β for small β (4 % less at α = 0.03)
/// @param absorption  α, 0 … 0.9
/// @throws DomainError
/// @source H. Kuttruff, Room Acoustics, average over all angles (Paris), from memory; the integral derived
[[nodiscard]] double admittance_of(double absorption);

/// What pushes the air at one opening: w = ∫ N s dS with Σ w = 1, so that a volume velocity U out of the air acts as
/// U w and feels the pressure wᵀp.
///  - port, hole without insert: its Mouth (Hole) faces, uniform
///  - driver, passive radiator: the sides of its body, uniform (the sound leaves the basket by its windows; faces
///  within
///    18° of square to the axis stand still, unless there are no others), or the hole when it has no body
/// In a brace the −n side counts.
/// @throws MeshError  no such faces
[[nodiscard]] Eigen::VectorXd opening_input(const Cabinet& cabinet, const AirMesh& mesh, int board, int opening);

} // namespace stillwall::solver
