#pragma once
// One front's part of a triangular solve with eight right-hand sides.

namespace stillwall::solver::internal {

/// A factored panel: n_cols own unknowns at the right-hand sides' columns first …, and the columns `rows` below them.
struct PanelView
{
    const double* L = nullptr; ///< column-major, shape (n_cols + n_rows, n_cols)
    int n_cols = 0, n_rows = 0;
    int first = 0;
    const int* rows = nullptr;
    const double* inverse_pivot = nullptr; ///< of the own unknowns: 1/L_jj
};

/// x ← L11⁻¹ x, x_below ← x_below − L21 x. @param X  shape (8, …)  @param scratch  shape (8, n_rows)
void panel_forward(const PanelView& panel, double* X, double* scratch);

/// x ← L11⁻ᵀ (x − L21ᵀ x_below).
void panel_backward(const PanelView& panel, double* X, double* scratch);

} // namespace stillwall::solver::internal
