#pragma once
// Exact derivatives of the lowest modes by numbers of a description.

#include "solver/choose/choices.h"
#include "solver/choose/scheme.h"
#include "solver/choose/search.h"

namespace stillwall::solver {

/// Whether the modes' derivatives by this number are known: thicknesses of boards and braces, positions of braces.
[[nodiscard]] bool has_slope(const ChangeAxis& axis);

/// The four lowest modes in which boards bend, and their derivatives by each number,
///     ∂f/∂x = Σ ∂f/∂p ∂p/∂x
/// over thicknesses and positions p, ∂p/∂x from two plans. Modes that lie over the upper frequency stand there, without
/// a slope: all that is known of them.
/// @param scheme  computed with its worth
/// @param f_max  [Hz] to which it was computed
/// @param beside  per number: the plan with that number moved by step[k]
[[nodiscard]] Lowest lowest_with_slopes(const CabinetPlan& plan, const ComputedScheme& scheme,
                                        const std::vector<CabinetPlan>& beside, const std::vector<double>& step,
                                        double f_max);

} // namespace stillwall::solver
