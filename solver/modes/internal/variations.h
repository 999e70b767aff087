#pragma once
// The cabinets a builder could make by turning one knob.

#include "solver/modes/worth.h"

#include <functional>

namespace stillwall::solver::internal {

struct Variation
{
    Knob knob;
    std::function<Cabinet(double)> cabinet; ///< at p away from the plan's
    double probe = 1e-3;                    ///< [unit of p] step of the central difference
    bool is_length = false;                 ///< strain operators change: nodes move, or films lie elsewhere
};

/// Every knob of a plan, in the order boards, layers, joints, supports, drivers, braces.
/// @param plan     must outlive the variations
/// @param cabinet  built from it; likewise
[[nodiscard]] std::vector<Variation> variations_of(const CabinetPlan& plan, const Cabinet& cabinet);

} // namespace stillwall::solver::internal
