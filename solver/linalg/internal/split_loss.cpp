#include "solver/linalg/internal/split_loss.h"

#include "solver/linalg/internal/sparse_product.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace stillwall::solver::internal {

namespace {

// 1 for an unknown that others meet, 0 for one that is held; all 1 where every unknown stands alone.
std::vector<char> coupled_unknowns(const SparseMatrix& K)
{
    std::vector<char> coupled(static_cast<std::size_t>(K.cols()), 0);
    bool is_any = false;
    for (int j = 0; j < K.outerSize(); ++j)
        for (SparseMatrix::InnerIterator it(K, j); it && coupled[static_cast<std::size_t>(j)] == 0; ++it)
            if (it.row() != j && it.value() != 0) coupled[static_cast<std::size_t>(j)] = 1, is_any = true;
    if (!is_any) std::fill(coupled.begin(), coupled.end(), 1);
    return coupled;
}

double median_ratio(const SparseMatrix& K, const SparseMatrix& K_loss, const std::vector<char>& coupled)
{
    const Eigen::VectorXd diagonal = K.diagonal(), loss = K_loss.diagonal();
    std::vector<double> ratios;
    for (Eigen::Index i = 0; i < diagonal.size(); ++i)
        if (coupled[static_cast<std::size_t>(i)] != 0 && diagonal[i] > 0) ratios.push_back(loss[i] / diagonal[i]);
    if (ratios.empty()) return 0;
    const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
    std::nth_element(ratios.begin(), middle, ratios.end());
    return *middle;
}

SparseMatrix rest_of(const SparseMatrix& K, const SparseMatrix& K_loss, double eta, const std::vector<char>& coupled)
{
    const Eigen::VectorXd diagonal = K.diagonal();
    const double round_off = 1e-12 * std::max(std::abs(eta), 1e-3);
    const SparseMatrix difference = K_loss - eta * K;
    SparseMatrix rest(K.rows(), K.cols());
    for (int j = 0; j < difference.outerSize(); ++j) {
        rest.startVec(j);
        for (SparseMatrix::InnerIterator it(difference, j); it; ++it) {
            if (it.row() == j && coupled[static_cast<std::size_t>(j)] == 0) continue;
            const double scale = std::sqrt(std::abs(diagonal[it.row()] * diagonal[j]));
            if (!(std::abs(it.value()) <= round_off * scale)) rest.insertBack(it.row(), j) = it.value();
        }
    }
    rest.finalize();
    return rest;
}

} // namespace

SplitLoss split_loss(const SparseMatrix& K, const SparseMatrix& K_loss)
{
    if (K_loss.nonZeros() == 0) return {0, SparseMatrix(K.rows(), K.cols())};
    const std::vector<char> coupled = coupled_unknowns(K);
    const double eta = median_ratio(K, K_loss, coupled);
    const SparseMatrix rest = rest_of(K, K_loss, eta, coupled);
    if (2 * rest.nonZeros() > K_loss.nonZeros()) return {0, without_zeros(K_loss)};
    return {eta, rest};
}

} // namespace stillwall::solver::internal
