#pragma once
// What a mode of the boards comes to for the ear: played, by the verdict on it; not played, by how strongly it is
// coupled to cone and air beside the others. How loud it is nobody can say who has not played it.

#include "solver/modes/analysis.h"
#include "solver/verdict/resonance.h"

namespace stillwall::solver {

enum class Flag
{
    Rings,    ///< audible or borderline where it was played
    Faint,    ///< inaudible where it was played
    Outside,  ///< outside the audible band, or of the band in which the cabinet plays
    NotPlayed ///< drivers' figures are missing
};

struct JudgedMode
{
    Flag flag = Flag::NotPlayed;
    std::string reason;              ///< one sentence
    double coupling = 0;             ///< [-] see coupling_of(): to compare modes of one cabinet with
    std::optional<Resonance> played; ///< with the air as its load
};

/// Strength with which a cone shakes and presses a mode and the mode moves air, with the walls taken as small beside
/// the wavelength (their net volume velocity counts), against the cone's own:
///     |V/η · (ρc² V/(ω² V_box) − (m/S) φ)|
/// A cone that moves inwards compresses the air, which pushes all walls outwards, while what is left on its frame,
/// −m times its acceleration, pushes outwards as it is accelerated inwards: half a period apart. V = ∫φ·n dA, m/S
/// moving mass per cone area. Standing waves inside are left out: this ranks, it is no level.
/// @param volume   V [m²/kg^½]
/// @param phi_drive  φ, outward motion of the largest cone's frame [kg^-½], 0 without a driver
/// @param box_volume  net [m³], > 0
[[nodiscard]] double coupling_of(double volume, double phi_drive, double loss, double f_Hz, double box_volume);

/// Moving mass per cone area [kg/m²] assumed above: 5 to 12 inch drivers lie within 1.05 to 1.75 (common practice, no
/// source).
inline constexpr double cone_mass_per_area = 1.2;

/// Lowest and highest frequency people hear [Hz].
inline constexpr double audible_from_Hz = 20, audible_to_Hz = 20000;

/// Couplings, by the strongest of the largest cones: only drivers over 0.8 of the widest hole count, small cones do not
/// play this low. One per mode, in their order.
[[nodiscard]] std::vector<JudgedMode> judge_unplayed(const Cabinet& cabinet, const std::vector<Mode>& modes);

/// What a played mode comes to.
[[nodiscard]] Flag flag_of(const Verdict& verdict);

/// Places of the modes to look at first: those that ring, the farthest over notice first; of unplayed ones those within
/// a tenth of the strongest coupling, at most six, the strongest first.
[[nodiscard]] std::vector<std::size_t> first_to_hear(const std::vector<JudgedMode>& judged);

/// Place of the mode nearest to the ear in which boards bend (not the whole cabinet on its feet, nor a driver on its
/// mount): farthest over notice, unplayed the most strongly coupled; nothing without any.
[[nodiscard]] std::optional<std::size_t> worst_wall(const std::vector<Mode>& modes,
                                                    const std::vector<JudgedMode>& judged);

} // namespace stillwall::solver
