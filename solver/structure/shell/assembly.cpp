#include "solver/structure/shell/assembly.h"

#include <algorithm>
#include <cassert>

namespace stillwall::solver {

SystemBuilder::SystemBuilder(int n_nodes, const std::vector<std::vector<int>>& groups, bool with_loss)
    : neighbours_(static_cast<std::size_t>(n_nodes))
{
    for (const auto& group : groups)
        for (int i : group) {
            auto& list = neighbours_[static_cast<std::size_t>(i)];
            list.insert(list.end(), group.begin(), group.end());
        }
    const auto n = 6 * n_nodes;
    std::vector<int> outer(static_cast<std::size_t>(n) + 1, 0);
    for (int node = 0; node < n_nodes; ++node) {
        auto& list = neighbours_[static_cast<std::size_t>(node)];
        list.push_back(node); // a node no element uses keeps a diagonal
        std::sort(list.begin(), list.end());
        list.erase(std::unique(list.begin(), list.end()), list.end());
        for (int k = 0; k < 6; ++k) {
            const auto column = static_cast<std::size_t>(6 * node + k);
            outer[column + 1] = outer[column] + 6 * static_cast<int>(list.size());
        }
    }
    std::vector<int> inner(static_cast<std::size_t>(outer.back()));
    for (int node = 0; node < n_nodes; ++node)
        for (int k = 0; k < 6; ++k) {
            auto at = static_cast<std::size_t>(outer[static_cast<std::size_t>(6 * node + k)]);
            for (int other : neighbours_[static_cast<std::size_t>(node)])
                for (int l = 0; l < 6; ++l) inner[at++] = 6 * other + l;
        }
    const std::vector<double> zeros(inner.size(), 0.0);
    system_.K = Eigen::Map<const SparseMatrix>(n, n, outer.back(), outer.data(), inner.data(), zeros.data());
    system_.M = system_.K;
    if (with_loss) system_.K_loss = system_.K;
}

void SystemBuilder::add(std::span<const int> nodes, const Eigen::MatrixXd& K, const Eigen::MatrixXd& M,
                        const Eigen::MatrixXd& K_loss)
{
    if (K.size() > 0) add_to(system_.K, nodes, K);
    if (M.size() > 0) add_to(system_.M, nodes, M);
    if (K_loss.size() > 0) add_to(system_.K_loss, nodes, K_loss);
}

void SystemBuilder::add_to(SparseMatrix& A, std::span<const int> nodes, const Eigen::MatrixXd& block)
{
    double* values = A.valuePtr();
    const int* outer = A.outerIndexPtr();
    for (std::size_t j = 0; j < nodes.size(); ++j) {
        const auto& list = neighbours_[static_cast<std::size_t>(nodes[j])];
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            const auto found = std::lower_bound(list.begin(), list.end(), nodes[i]);
            assert(found != list.end() && *found == nodes[i]);
            const auto offset = 6 * (found - list.begin());
            for (int l = 0; l < 6; ++l) {
                double* at = values + outer[6 * nodes[j] + l] + offset;
                const auto column = static_cast<Eigen::Index>(6 * j) + l;
                for (int k = 0; k < 6; ++k) at[k] += block(static_cast<Eigen::Index>(6 * i) + k, column);
            }
        }
    }
}

void hold(SparseMatrix& matrix, const std::vector<int>& unknowns, double diagonal)
{
    std::vector<bool> is_held(static_cast<std::size_t>(matrix.cols()), false);
    for (int i : unknowns) is_held[static_cast<std::size_t>(i)] = true;
    for (Eigen::Index column = 0; column < matrix.cols(); ++column)
        for (SparseMatrix::InnerIterator it(matrix, column); it; ++it)
            if (is_held[static_cast<std::size_t>(it.row())] || is_held[static_cast<std::size_t>(column)])
                it.valueRef() = it.row() == column ? diagonal : 0.0;
}

void hold(SystemMatrices& system, const std::vector<int>& unknowns)
{
    hold(system.K, unknowns, system.K.diagonal().maxCoeff());
    hold(system.M, unknowns, 1e-9 * system.M.diagonal().maxCoeff());
    if (system.K_loss.size() > 0) hold(system.K_loss, unknowns);
}

Eigen::Matrix3Xd element_nodes(const Eigen::Matrix3Xd& nodes, std::span<const int> element)
{
    Eigen::Matrix3Xd X(3, static_cast<Eigen::Index>(element.size()));
    for (std::size_t i = 0; i < element.size(); ++i) X.col(static_cast<Eigen::Index>(i)) = nodes.col(element[i]);
    return X;
}

} // namespace stillwall::solver
