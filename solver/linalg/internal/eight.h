#pragma once
// Eight vectors at a time: the inner loop of the solves, of the orthogonalisation and of the small products.

#include <Eigen/Core>

#include <cstddef>

namespace stillwall::solver::internal {

/// Eight vectors side by side, shape (8, n): all values of one unknown share a cache line, so a matrix that acts on
/// them is read once for all eight and each of its entries meets one SIMD register. Vectors not in use are zero.
using Eight = Eigen::Matrix<double, 8, Eigen::Dynamic>;

/// A matrix of shape (rows, cols) with any distances between its entries.
struct Strided
{
    const double* data = nullptr;
    std::ptrdiff_t row_step = 1, col_step = 1;
    int rows = 0, cols = 0;
};

/// out ← out − (A inᵀ)ᵀ, or out_i −= Σ_k A_ik in_k, with out of shape (8, A.rows), in of shape (8, A.cols).
/// Uses the widest SIMD the processor has; sums run over k in order, whatever the width.
void subtract_product(double* out, const Strided& A, const double* in);

/// W Zᵀ, shape (8, 8).
[[nodiscard]] Eigen::Matrix<double, 8, 8> gram(const Eight& W, const Eight& Z);

/// T W, with T of shape (8, 8).
[[nodiscard]] Eight combine(const Eigen::Matrix<double, 8, 8>& T, const Eight& W);

} // namespace stillwall::solver::internal
