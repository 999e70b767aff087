#pragma once
// The numbers of one combination moved by a search, in a process of its own.

#include "app/verbs/improve/improve_space.h"
#include "app/workers/scheme_job.h"

namespace stillwall::app {

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

/// All cabinets that were tried, as bytes.
[[nodiscard]] std::string walked(const ChoiceSpace& space, const SchemeTask& task, const ImproveAsk& ask,
                                 const Open& open, WalkPart part, int tries);

[[nodiscard]] std::vector<Tried> unpacked_list(const std::string& bytes);

} // namespace stillwall::app
