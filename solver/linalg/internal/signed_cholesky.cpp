#include "solver/linalg/internal/signed_cholesky.h"

#include "solver/linalg/blas.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace stillwall::solver::internal {

namespace {

constexpr int unblocked_size = 24;

void flip_columns(int m, int n, const signed char* sign, double* a, int lda)
{
    for (int j = 0; j < n; ++j) {
        if (sign[j] > 0) continue;
        double* column = a + static_cast<std::size_t>(j) * lda;
        for (int i = 0; i < m; ++i) column[i] = -column[i];
    }
}

// Lower triangle of C (m, m) ← C − B S Bᵀ, as −B Bᵀ and twice the few negative columns given back.
void subtract_signed_square(int m, int n, const double* b, int ldb, const signed char* sign, double* c, int ldc,
                            std::vector<double>& scratch)
{
    syrk_lower(m, n, -1, b, ldb, c, ldc);
    const int n_negative = static_cast<int>(std::count(sign, sign + n, static_cast<signed char>(-1)));
    if (n_negative == 0 || m == 0) return;
    scratch.resize(static_cast<std::size_t>(m) * n_negative);
    double* to = scratch.data();
    for (int j = 0; j < n; ++j) {
        if (sign[j] < 0) to = std::copy_n(b + static_cast<std::size_t>(j) * ldb, m, to);
    }
    syrk_lower(m, n_negative, 2, scratch.data(), m, c, ldc);
}

bool factor_unblocked(int n, double* a, int lda, signed char* sign)
{
    for (int k = 0; k < n; ++k) {
        double* column = a + static_cast<std::size_t>(k) * lda;
        const double pivot = column[k];
        if (!(std::abs(pivot) > 0) || !std::isfinite(pivot)) return false;
        sign[k] = pivot > 0 ? 1 : -1;
        const double root = std::sqrt(std::abs(pivot));
        column[k] = root;
        const double scale = sign[k] / root;
        for (int i = k + 1; i < n; ++i) column[i] *= scale;
        for (int j = k + 1; j < n; ++j) {
            double* trailing = a + static_cast<std::size_t>(j) * lda;
            const double factor = sign[k] * column[j];
            for (int i = j; i < n; ++i) trailing[i] -= factor * column[i];
        }
    }
    return true;
}

bool factor_signed(int n, double* a, int lda, signed char* sign, std::vector<double>& scratch)
{
    if (n <= unblocked_size) return factor_unblocked(n, a, lda, sign);
    const int n1 = n / 2, n2 = n - n1;
    if (!factor_signed(n1, a, lda, sign, scratch)) return false;
    double* below = a + n1;
    double* trailing = below + static_cast<std::size_t>(n1) * lda;
    trsm_right_lower('T', n2, n1, a, lda, below, lda);
    flip_columns(n2, n1, sign, below, lda);
    subtract_signed_square(n2, n1, below, lda, sign, trailing, lda, scratch);
    return factor_signed(n2, trailing, lda, sign + n1, scratch);
}

} // namespace

bool factor_panel(int n, int height, double* panel, signed char* sign, std::vector<double>& scratch)
{
    // Nearly all blocks are positive definite: LAPACK's Cholesky first, with a copy to come back to.
    scratch.resize(static_cast<std::size_t>(n) * n);
    for (int j = 0; j < n; ++j)
        std::copy_n(panel + static_cast<std::size_t>(j) * height + j, n - j,
                    scratch.data() + static_cast<std::size_t>(j) * n + j);
    std::fill_n(sign, n, static_cast<signed char>(1));
    if (potrf_lower(n, panel, height) != 0) {
        for (int j = 0; j < n; ++j)
            std::copy_n(scratch.data() + static_cast<std::size_t>(j) * n + j, n - j,
                        panel + static_cast<std::size_t>(j) * height + j);
        if (!factor_signed(n, panel, height, sign, scratch)) return false;
    }
    trsm_right_lower('T', height - n, n, panel, height, panel + n, height);
    flip_columns(height - n, n, sign, panel + n, height);
    return true;
}

void update_below(int n, int height, const double* panel, const signed char* sign, double* U,
                  std::vector<double>& scratch)
{
    const int m = height - n;
    subtract_signed_square(m, n, panel + n, height, sign, U, std::max(1, m), scratch);
}

} // namespace stillwall::solver::internal
