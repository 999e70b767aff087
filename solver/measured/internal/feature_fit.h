#pragma once
// Several neighbouring resonances fitted together over their common window.

#include "solver/measured/internal/feature_scan.h"

namespace stillwall::solver::internal {

struct FittedFeature
{
    Hump hump;
    double ln_f_error = 0, ln_Q_error = 0, height_error = 0;
};

/// Variable projection: f and Q by Levenberg–Marquardt, heights and a background of third degree by linear least
/// squares at each. Errors from the whole covariance, scaled up by a mean square over 1. Empty when it fails.
/// @param left  without any of these resonances taken away
/// @source G. H. Golub, V. Pereyra, SIAM J. Numer. Anal. 10 (1973) 413
[[nodiscard]] std::vector<FittedFeature> fitted_together(const Leftover& left, const std::vector<Trial>& start);

} // namespace stillwall::solver::internal
