#include "solver/linalg/internal/panel_solve.h"

#include "solver/linalg/internal/eight_simd.h"

#include <algorithm>

namespace stillwall::solver::internal {

namespace {

using simd::load;
using simd::Register;
using simd::store;

// Columns of a diagonal block solved one by one before the rows below them are updated together.
constexpr int width = 12;
// Columns read side by side below the diagonal block.
constexpr int streams = 24;

// L x = b in place for a small triangle.
[[gnu::always_inline]] inline void small_forward(const double* L, std::ptrdiff_t height, int n,
                                                 const double* inverse_pivot, double* x)
{
    for (int j = 0; j < n; ++j, L += height) {
        const Register xj = load(x + 8 * j) * inverse_pivot[j];
        store(x + 8 * j, xj);
        for (int i = j + 1; i < n; ++i) store(x + 8 * i, load(x + 8 * i) - L[i] * xj);
    }
}

// Lᵀ x = b in place for a small triangle.
[[gnu::always_inline]] inline void small_backward(const double* L, std::ptrdiff_t height, int n,
                                                  const double* inverse_pivot, double* x)
{
    for (int i = n - 1; i >= 0; --i) {
        const Register xi = load(x + 8 * i) * inverse_pivot[i];
        store(x + 8 * i, xi);
        for (int j = 0; j < i; ++j) store(x + 8 * j, load(x + 8 * j) - L[j * height + i] * xi);
    }
}

template <int P, int Q> [[gnu::always_inline]] inline void forward(const PanelView& panel, double* X, double* scratch)
{
    const int n = panel.n_cols;
    const std::ptrdiff_t height = n + panel.n_rows;
    double* x = X + std::ptrdiff_t{8} * panel.first;
    for (int from = 0; from < n; from += width) {
        const int columns = std::min(width, n - from), to = from + columns;
        const double* L = panel.L + from * height;
        if (columns == width) {
            small_forward(L + from, height, width, panel.inverse_pivot + from, x + 8 * from);
        } else {
            small_forward(L + from, height, columns, panel.inverse_pivot + from, x + 8 * from);
        }
        simd::subtract<P, Q>(x + 8 * to, {L + to, 1, height, n - to, columns}, x + 8 * from);
    }
    std::fill_n(scratch, std::ptrdiff_t{8} * panel.n_rows, 0.0);
    // A few columns at a time, each read from top to bottom: memory is fastest in long straight runs.
    for (int from = 0; from < n; from += streams) {
        simd::subtract<P, Q>(
            scratch, {panel.L + from * height + n, 1, height, panel.n_rows, std::min(streams, n - from)}, x + 8 * from);
    }
    for (int i = 0; i < panel.n_rows; ++i) {
        double* below = X + std::ptrdiff_t{8} * panel.rows[i];
        store(below, load(below) + load(scratch + 8 * i));
    }
}

template <int P, int Q> [[gnu::always_inline]] inline void backward(const PanelView& panel, double* X, double* scratch)
{
    const int n = panel.n_cols;
    const std::ptrdiff_t height = n + panel.n_rows;
    double* x = X + std::ptrdiff_t{8} * panel.first;
    for (int i = 0; i < panel.n_rows; ++i) store(scratch + 8 * i, load(X + std::ptrdiff_t{8} * panel.rows[i]));
    simd::subtract<P, Q>(x, {panel.L + n, height, 1, n, panel.n_rows}, scratch);
    for (int from = (n - 1) / width * width; from >= 0; from -= width) {
        const int columns = std::min(width, n - from), to = from + columns;
        const double* L = panel.L + from * height;
        simd::subtract<P, Q>(x + 8 * from, {L + to, height, 1, columns, n - to}, x + 8 * to);
        if (columns == width) {
            small_backward(L + from, height, width, panel.inverse_pivot + from, x + 8 * from);
        } else {
            small_backward(L + from, height, columns, panel.inverse_pivot + from, x + 8 * from);
        }
    }
}

} // namespace

STILLWALL_FOR_EACH_SIMD(panel_forward, forward, (const PanelView& panel, double* X, double* scratch),
                        (panel, X, scratch))
STILLWALL_FOR_EACH_SIMD(panel_backward, backward, (const PanelView& panel, double* X, double* scratch),
                        (panel, X, scratch))

} // namespace stillwall::solver::internal
