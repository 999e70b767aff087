#pragma once
// Where each mode's lossy counterpart starts: a space good for every frequency of the band, and one eigenpair per mode
// in it.

#include "solver/linalg/internal/search_space.h"

#include <vector>

namespace stillwall::solver::internal {

/// The real modes, and where layers stiffen a lot over the band also modes of the stiffness lower down.
[[nodiscard]] SearchSpace start_space(const LossyOperator& op, const EigenResult& real, int first_elastic,
                                      const ComplexModesOptions& options);

/// The part of the space that matters for neighbouring modes, and their coordinates in it: the modes themselves and
/// real modes of the stiffness amid them up to 1.6 times their highest frequency. The whole space when that is not much
/// larger.
[[nodiscard]] SearchSpace part_for(const LossyOperator& op, const SearchSpace& space, std::span<ReducedMode> modes);

/// One pair of the reduced problem for each mode first … n − 1: the k-th by Re λ at its own frequency, so that none is
/// taken twice and none left out. Pairs whose residual shows that no mode is near are passed over. Sorted by Re λ; some
/// more may follow, in reserve.
/// @throws SolverError
[[nodiscard]] std::vector<ReducedMode> start_modes(const LossyOperator& op, const SearchSpace& space, int first, int n,
                                                   double f_start_Hz);

} // namespace stillwall::solver::internal
