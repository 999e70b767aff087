#pragma once
// Free bending waves of a board.

#include "mesh/cabinet/cabinet.h"

namespace stillwall::solver {

/// Wavelength [m] of waves of frequency f_Hz > 0 running along the direction `along` [rad] from e1: with shear, rotary
/// inertia left out,
///     D k⁴ = m ω² (1 + D k²/As)
/// of the bare board, without layers and what is screwed on.
/// @throws DomainError when the frequency is not positive or a ply's constants are not positive definite
[[nodiscard]] double bending_wavelength(const Cabinet& cabinet, const Board& board, double along, double f_Hz);

} // namespace stillwall::solver
