#pragma once
// The inner loops of the boundary elements, eight points at a time by the widest SIMD the processor has.

#include "solver/radiation/internal/panel_sums.h"

namespace stillwall::solver::internal {

/// Sums of the kernels of G, ∂G/∂n_y and ∂²G/∂n_x∂n_y, one per lane.
struct KernelSums
{
    alignas(64) double single_layer_re[8], single_layer_im[8];
    alignas(64) double double_layer_re[8], double_layer_im[8];
    alignas(64) double double_slope_re[8], double_slope_im[8];
};

/// The whole kernels by the coarse rule; lane: panel 8 block + lane.
void far_sums(const PanelRules& rules, std::size_t block, const Observer& x, double k, KernelSums& sums);

/// What k adds to the static kernels of one panel by the fine rule, without ∂²G's term k² c/(8π r); lane: a part of the
/// points.
void near_sums(const PanelRules& rules, Eigen::Index panel, const Observer& x, double k, KernelSums& sums);

} // namespace stillwall::solver::internal
