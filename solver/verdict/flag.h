#pragma once
// A first judgement of a mode before anything is driven: could it be heard beside the cone?

#include "solver/modes/analysis.h"

namespace stillwall::solver {

/// Rough level of a mode's own sound against the cone's, at the mode's frequency [dB].
///
/// Both drive paths, the walls taken as small beside the wavelength (their net volume velocity counts):
///     force:     V φ_d (m/S) / η          the cone's reaction on the basket, m/S moving mass per cone area
///     pressure:  ρc² V² / (η ω² V_box)    the cone's compression of the air inside, below its first resonance
/// with V = ∫φ·n dA. The two are added in magnitude (their phase is left to the driven computation).
/// @param volume   V [m²/kg^½]
/// @param phi_drive  coupling of the largest cone [kg^-½], 0 without a driver
/// @param box_volume  net [m³], > 0
[[nodiscard]] double rough_level_dB(double volume, double phi_drive, double loss, double f_Hz, double box_volume);

/// Moving mass per cone area [kg/m²] assumed above: 5 to 12 inch drivers lie within 1.05 to 1.75 (common practice, no
/// source).
inline constexpr double cone_mass_per_area = 1.2;

/// Lowest and highest frequency people hear [Hz].
inline constexpr double audible_from_Hz = 20, audible_to_Hz = 20000;

/// Fills rough level, flag and reason of every mode. Small cones do not play this low: only drivers over 0.8 of the
/// widest hole count.
void judge_modes(const Cabinet& cabinet, ModesResult& result);

/// Place of the judged mode farthest over notice in which boards bend: not the whole cabinet on its feet, nor a driver
/// on its mount; nothing without any.
[[nodiscard]] std::optional<std::size_t> worst_wall(const ModesResult& result);

} // namespace stillwall::solver
