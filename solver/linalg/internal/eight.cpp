#include "solver/linalg/internal/eight.h"

#include "solver/linalg/internal/eight_simd.h"

namespace stillwall::solver::internal {

STILLWALL_FOR_EACH_SIMD(subtract_product, simd::subtract, (double* out, const Strided& A, const double* in),
                        (out, A, in))

Eigen::Matrix<double, 8, 8> gram(const Eight& W, const Eight& Z)
{
    Eigen::Matrix<double, 8, 8> minus = Eigen::Matrix<double, 8, 8>::Zero();
    // Column p of the result: Σ_i W_pi z_i.
    subtract_product(minus.data(), {W.data(), 1, 8, 8, static_cast<int>(W.cols())}, Z.data());
    return -minus.transpose();
}

Eight combine(const Eigen::Matrix<double, 8, 8>& T, const Eight& W)
{
    Eight result = Eight::Zero(8, W.cols());
    const Eigen::Matrix<double, 8, 8> minus = -T;
    subtract_product(result.data(), {W.data(), 8, 1, static_cast<int>(W.cols()), 8}, minus.data());
    return result;
}

} // namespace stillwall::solver::internal
