#pragma once
// Which combinations are worth computing.

#include "solver/choose/improve.h"
#include "solver/choose/walk.h"

namespace stillwall::solver::internal {

/// Combinations that can be built and keep the limits that need no solution. Counts them in `found`.
/// @throws InputError  when there is none, saying which limit bites; prices are needed and not given
[[nodiscard]] std::vector<Open> possible(const ChoiceSpace& space, const ImproveAsk& ask, Improved& found);

/// At most `most` of them: a seeded sample where there are more, or from the best up where the merit is known.
void thin_out(std::vector<Open>& open, const ImproveAsk& ask, std::size_t most, unsigned seed, Improved& found);

} // namespace stillwall::solver::internal
