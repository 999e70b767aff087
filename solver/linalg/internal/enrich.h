#pragma once
// Lossy modes to full accuracy: the search space grows by corrections from a factor near the modes.

#include "solver/linalg/internal/search_space.h"
#include "solver/linalg/internal/shifted_factor.h"

#include <vector>

namespace stillwall::solver::internal {

struct EnrichedModes
{
    Eigen::MatrixXcd phi; ///< bilinear norm 1
    Eigen::VectorXcd lambda;
    Eigen::VectorXd residual; ///< relative, see ComplexModesOptions
    int n_rounds = 0;
};

/// (K_re(f) − μM)⁻¹ amid the modes given, sorted by Re λ: what lies far from them is then corrected in one step, be it
/// above or below.
[[nodiscard]] ShiftedFactor factor_amid(const LossyOperator& op, std::span<const ReducedMode> modes,
                                        const std::shared_ptr<const FrontTree>& tree);

/// Davidson's method for up to four neighbouring modes at once.
/// @source Davidson, J. Comput. Phys. 17 (1975) 87; several vectors: Crouzeix, Philippe & Sadkane, SIAM J. Sci. Comput.
/// 15
///         (1994) 62
[[nodiscard]] EnrichedModes enrich(const LossyOperator& op, SearchSpace space, const ShiftedFactor& factor,
                                   std::vector<ReducedMode> modes, const ComplexModesOptions& options);

} // namespace stillwall::solver::internal
