#pragma once
// All ways to assign readings to causes, with the suspects' doubts as they stand, see odds.h for the weights.

#include "solver/explain/odds.h"

namespace stillwall::solver::explain_internal {

struct Assignments
{
    /// ln of the sum of all weights: how well these doubts fit the readings, and what was not seen.
    double log_evidence = 0;
    std::vector<std::vector<CauseOdds>> readings; ///< per reading, summing to 1, in no order
    Eigen::MatrixXd visible;                      ///< as in OddsResult
    Eigen::VectorXd theta, theta_square;          ///< means of θ and of its squares; empty without candidates
    double lost = 0;                              ///< share of weight dropped, at most
};

/// @param suspects  whose fidelities are not looked at
[[nodiscard]] Assignments weigh_assignments(const Suspects& suspects, const Evidence& evidence);

} // namespace stillwall::solver::explain_internal
