#pragma once
// Global stiffness and mass from element blocks, on a pattern fixed beforehand.

#include "solver/linalg/eigen.h"

#include <span>
#include <vector>

namespace stillwall::solver {

struct SystemMatrices
{
    SparseMatrix K;      ///< [N/m], [N], [N·m]; both triangles; unknown 6 n + i of node n
    SparseMatrix M;      ///< [kg], [kg·m], [kg·m²]; same pattern as K
    SparseMatrix K_loss; ///< dissipated / (2π) per energy, same pattern; empty unless asked for
};

/// Collects dense blocks over groups of nodes. The pattern comes from the groups given at construction; every block
/// added must lie inside it.
class SystemBuilder
{
public:
    /// @param groups  node lists whose unknowns are coupled (elements, rims, beams, ties)
    SystemBuilder(int n_nodes, const std::vector<std::vector<int>>& groups, bool with_loss = false);

    /// Adds a block; the matrices have shape (6 m, 6 m) for m nodes; an empty matrix adds nothing.
    void add(std::span<const int> nodes, const Eigen::MatrixXd& K, const Eigen::MatrixXd& M,
             const Eigen::MatrixXd& K_loss = {});

    [[nodiscard]] SystemMatrices take() { return std::move(system_); }

private:
    void add_to(SparseMatrix& A, std::span<const int> nodes, const Eigen::MatrixXd& block);

    SystemMatrices system_;
    std::vector<std::vector<int>> neighbours_; ///< sorted neighbour nodes per node
};

/// Holds unknowns at zero: their rows and columns are emptied and a stiff, light spring is left on the diagonal, so
/// that the pair stays definite and their modes lie far above any band of interest.
void hold(SystemMatrices& system, const std::vector<int>& unknowns);
/// The same for one matrix: rows and columns emptied, `diagonal` left.
void hold(SparseMatrix& matrix, const std::vector<int>& unknowns, double diagonal = 0);

/// Positions [m] of an element's nodes, shape (3, n).
[[nodiscard]] Eigen::Matrix3Xd element_nodes(const Eigen::Matrix3Xd& nodes, std::span<const int> element);

} // namespace stillwall::solver
