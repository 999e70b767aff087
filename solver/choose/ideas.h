#pragma once
// Changes that could help, with what derivatives promise of them.

#include "solver/choose/choices.h"
#include "solver/choose/figures.h"

namespace stillwall::solver {

/// A change that could be made.
struct Idea
{
    std::string words, entry;
    double promise_dB = 0; ///< what the derivatives promise for the worst mode; for what has none a guess
};

/// The cabinet they are for.
struct AdvisedCabinet
{
    const PlanSource& source;
    const CabinetPlan& plan;
    const Cabinet& cabinet;
};

/// Boards 3 mm thicker, braces moved, bitumen sheets, a window brace where the mode moves most.
/// @param figures, worth  of the boards by themselves
/// @param column  the mode to be cured, among the wall modes
[[nodiscard]] std::vector<Idea> ideas_for(const AdvisedCabinet& of, const SchemeFigures& figures, const Worth& worth,
                                          std::size_t column);

/// Whether a variant given as text can be built and leaves `proposed_room` wherever the drawn cabinet does (fit.h).
[[nodiscard]] bool leaves_room(const PlanSource& source, const Cabinet& drawn, const std::string& entry);

} // namespace stillwall::solver
