#include "solver/linalg/internal/sparse_product.h"

#include "solver/linalg/internal/eight_simd.h"

namespace stillwall::solver::internal {

namespace {

namespace simd {

// Each column of A is met once; the widths of P and Q do not matter here.
template <int P, int Q>
[[gnu::always_inline]] inline void multiply(double* out, const SparseMatrix& A, const double* in)
{
    const int* outer = A.outerIndexPtr();
    const int* inner = A.innerIndexPtr();
    const double* value = A.valuePtr();
    for (int j = 0; j < A.cols(); ++j) {
        internal::simd::Register sum{};
        for (int k = outer[j]; k < outer[j + 1]; ++k)
            sum += value[k] * internal::simd::load(in + std::ptrdiff_t{8} * inner[k]);
        internal::simd::store(out + std::ptrdiff_t{8} * j, sum);
    }
}

} // namespace simd

STILLWALL_FOR_EACH_SIMD(multiply, simd::multiply, (double* out, const SparseMatrix& A, const double* in), (out, A, in))

} // namespace

Eight times_symmetric(const Eight& X, const SparseMatrix& A)
{
    Eight Y(8, X.cols());
    multiply(Y.data(), A, X.data());
    return Y;
}

SparseMatrix without_zeros(const SparseMatrix& A)
{
    SparseMatrix result(A.rows(), A.cols());
    result.reserve(A.nonZeros());
    for (int j = 0; j < A.outerSize(); ++j) {
        result.startVec(j);
        for (SparseMatrix::InnerIterator it(A, j); it; ++it) {
            if (it.value() != 0) result.insertBack(it.row(), j) = it.value();
        }
    }
    result.finalize();
    return result;
}

} // namespace stillwall::solver::internal
