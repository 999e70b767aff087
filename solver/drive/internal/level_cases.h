#pragma once
// What a wall's level would be were its frequency and loss others than the typical ones.
//
// A wall alone beside air, cones and ports that stand as they are: with its shape y, λ its own and ΔD the load of all
// the rest on it, the amplitude at its resonance ω is
//     x = jω F / (λ + ΔD − ω²) = ω F / (η_λ ω² + Im ΔD),   λ + ΔD = ω² + j (η_λ ω² + Im ΔD)
// F what air and cones push it with while it stands still. F and ΔD change fast where a wave of the air lies; the range
// of the wall's frequency is walked through on a grid that is fine beside the air's resonances.

#include "solver/drive/internal/hearing.h"

namespace stillwall::solver::internal {

/// How far the figures of one wall mode may lie off: standard deviations of the logarithms.
struct WallDoubt
{
    double ln_f = 0;    ///< of its frequency against the waves of the air
    double ln_loss = 0; ///< of the wood's own loss
};

/// From the ranges of materials, joints and feet, and of the air's waves.
/// @param air  one standard deviation of ln f of the waves near the wall's frequency
[[nodiscard]] WallDoubt wall_doubt(const Sensitivity& sensitivity, std::size_t mode, double air);

/// Cases of each resonance that is a wall and whose place in `wanted` is not 0; none of the others. A wall is held
/// against the wave of the air whose band lies nearest.
[[nodiscard]] std::vector<std::vector<LevelCase>>
level_cases(const Player& player, const HearingSetting& setting, const std::vector<LoadedMode>& resonances,
            const std::vector<char>& wanted, const Sensitivity& sensitivity, double f_from, double f_to);

/// Cases of a wave of the air: a factor of 1.6 in its loss either way (own estimate; the absorption of inner faces and
/// of fillings is from memory).
[[nodiscard]] std::vector<LevelCase> air_cases(double Q, std::size_t n_places);

} // namespace stillwall::solver::internal
