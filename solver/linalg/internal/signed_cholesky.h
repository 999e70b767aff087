#pragma once
// Dense A = L S Lᵀ with S = diag(±1): Cholesky for symmetric matrices that are not definite, without pivoting.

#include <vector>

namespace stillwall::solver::internal {

/// Factors the lower triangle of the n × n block on top of a panel of `height` rows in place, then the rows below it:
///     A11 = L11 S L11ᵀ,   L21 = A21 L11⁻ᵀ S
/// @param sign  n values, set to ±1, the signs of the pivots
/// @param scratch  grown as needed
/// @return false if a pivot is zero or not finite
[[nodiscard]] bool factor_panel(int n, int height, double* panel, signed char* sign, std::vector<double>& scratch);

/// Lower triangle of U ← U − L21 S L21ᵀ.
void update_below(int n, int height, const double* panel, const signed char* sign, double* U,
                  std::vector<double>& scratch);

} // namespace stillwall::solver::internal
