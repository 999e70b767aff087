#pragma once
// The one cheap test that tells two causes apart.

#include "solver/explain/candidates.h"

#include <optional>

namespace stillwall::solver {

struct Proof
{
    enum class Kind
    {
        Putty,      ///< stick a mass on a board: the mode of one cause falls, that of the other stays
        Filling,    ///< a handful of wadding where the wave of the air is: it drops, the other stays
        BlockPort,  ///< stop the port with a rag: its wave or tuning goes
        FreeAir,    ///< sweep the driver out of the box: what is its own stays
        SwapDriver, ///< put another unit of the driver in: what is its own moves
        Feet,       ///< stand the cabinet on something else
        Repeat      ///< sweep again, leads and level changed: what comes from neither moves or goes
    };
    struct Lump
    {
        int board = 0;                  ///< on its outer face
        Vector3d at = Vector3d::Zero(); ///< [m] cabinet coordinates
        double mass = 0;                ///< [kg]
        double first_falls_to = 0;      ///< [Hz] the wrinkle if it is the first cause
        double second_falls_to = 0;     ///< [Hz] if it is the second
    };
    Kind kind = Kind::Repeat;
    std::optional<Lump> putty{}; ///< Putty only
};

/// What a proof needs to know of a cause: a candidate, or a background (then without a resonance).
struct Accused
{
    Cause cause = Cause::Nothing;
    const SoundMode* resonance = nullptr; ///< walls: whose shape is known
};

/// Putty: the place and mass at which the two fall by the most different amounts, at least half a bandwidth apart where
/// 50 to 400 g can do that; a point mass lowers a mode to f/√(1 + m φₙ²), φₙ its motion there across the board
/// (mass-normalised; Rayleigh's quotient of the old shape, so
/// it falls by that or up to half as much again). Only walls, not braces; not within 25 mm of an edge or a hole.
/// @param f_Hz           where the wrinkle was measured
/// @param has_free_air   a sweep of the driver alone has been given
[[nodiscard]] Proof proof_between(const Cabinet& cabinet, const SoundResult& sound, const Accused& first,
                                  const Accused& second, double f_Hz, double Q, bool has_free_air);

} // namespace stillwall::solver
