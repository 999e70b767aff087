#include "solver/linalg/static_response.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/internal/eigen_checks.h"
#include "solver/linalg/internal/node_graph.h"
#include "solver/linalg/internal/shifted_factor.h"

#include <numbers>

namespace stillwall::solver {

Eigen::MatrixXd static_response(const SparseMatrix& K, const SparseMatrix& M, const Eigen::MatrixXd& B, double f_shift,
                                std::shared_ptr<const internal::FrontTree> ordering, int nodes_dof)
{
    internal::check_pair(K, M);
    if (B.rows() != K.rows() || !(f_shift > 0))
        throw DomainError("static response: as many rows as unknowns and a shift > 0 are needed");
    if (!ordering || ordering->size() != K.rows()) {
        const internal::NodeGraph graph = internal::make_node_graph(K, M, nodes_dof);
        ordering = std::make_shared<const internal::FrontTree>(
            internal::make_front_tree(graph, internal::dissection_order(graph)));
    }
    const double omega = 2 * std::numbers::pi * f_shift;
    const internal::ShiftedFactor factor(K, M, -omega * omega, ordering, internal::ShiftedFactor::Use::Solve);
    Eigen::MatrixXd X(B.rows(), B.cols());
    for (Eigen::Index from = 0; from < B.cols(); from += 8) {
        const Eigen::Index n = std::min<Eigen::Index>(8, B.cols() - from);
        internal::Eight block = internal::Eight::Zero(8, B.rows());
        block.topRows(n) = B.middleCols(from, n).transpose();
        X.middleCols(from, n) = factor.solve(block).topRows(n).transpose();
    }
    return X;
}

} // namespace stillwall::solver
