#include "solver/linalg/internal/sparse_product.h"

namespace stillwall::solver::internal {

Eight times_symmetric(const Eight& X, const SparseMatrix& A)
{
    const int* outer = A.outerIndexPtr();
    const int* inner = A.innerIndexPtr();
    const double* value = A.valuePtr();
    Eight Y(8, X.cols());
    for (int j = 0; j < A.cols(); ++j) {
        Eigen::Matrix<double, 8, 1> sum = Eigen::Matrix<double, 8, 1>::Zero();
        for (int k = outer[j]; k < outer[j + 1]; ++k) sum += value[k] * X.col(inner[k]);
        Y.col(j) = sum;
    }
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
