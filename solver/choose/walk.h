#pragma once
// The numbers of one combination moved by a search, in a process of its own.

#include "solver/choose/aim.h"
#include "solver/choose/space.h"

namespace stillwall::solver {

/// A combination that can be built, with its mass, litres and price.
struct Open
{
    Combination combination;
    Tried weighed;
};

/// Moves the numbers of a combination over all of their box or over one half of the first one's range.
enum class WalkPart
{
    All,
    Lower,
    Upper
};

/// What a walk is for.
struct WalkTask
{
    const ChoiceSpace& space;
    const ImproveAsk& ask;
    const SchemeTask& scheme;
    const SchemeComputer& computer;
    int tries = 3; ///< cabinets computed, at least
};

/// All cabinets that were tried.
[[nodiscard]] std::vector<Tried> walked(const WalkTask& task, const Open& open, WalkPart part);

} // namespace stillwall::solver
