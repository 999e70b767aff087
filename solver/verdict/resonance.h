#pragma once
// A resonance as it is seen from outside: what all who speak of one have in common, whichever way it was found.

#include "solver/verdict/verdict.h"

#include <optional>
#include <string>

namespace stillwall::solver {

/// Where a frequency may lie [Hz].
struct FrequencyBand
{
    double low_Hz = 0, high_Hz = 0;
};

/// A resonance at one listener, or in all directions: its radiated power against that of the direct sound.
struct ModeAtListener
{
    double level_dB = 0; ///< peak of its own sound, or power, against the reference
    double peak_Hz = 0;  ///< where
    Verdict verdict;
    std::optional<int> listener = 0; ///< its place among the listeners; nothing: the power in all directions
};

struct Resonance
{
    enum class Kind
    {
        Wall,  ///< boards
        Air,   ///< air inside, from the first standing wave up
        Port,  ///< box tuning: air mass of the ports, or mass of the passive radiators, against the air inside
        Driver ///< of the driver by itself: cone, surround, basket
    };
    Kind kind = Kind::Wall;
    std::string name; ///< "left, right: sides breathe 1×1", "air: 1 wave half along the height"
    /// Walls: the board most of whose sound it is, unplayed ones the board that moves most; air: the source through
    /// which most is heard. Empty: none stands out.
    std::string part;
    double f_Hz = 0;
    std::optional<FrequencyBand> band; ///< by the ranges of materials, joints and feet, where they were followed
    double Q = 0;
    std::optional<ModeAtListener> worst; ///< the worst word, and of equal ones where most is left over the strict line;
                                         ///< nothing: not judged
};

/// Whether the first is worse to the ear: by its word, then by what is over the strict line.
[[nodiscard]] bool is_worse(const ModeAtListener& first, const ModeAtListener& second);

/// "wall", "air", "port", "driver".
[[nodiscard]] std::string kind_word(Resonance::Kind kind);

/// How far it lies over what trained ears find in noise, where it is worst [dB]; nothing when it was not judged.
[[nodiscard]] std::optional<double> over_notice_dB(const Resonance& resonance);

} // namespace stillwall::solver
