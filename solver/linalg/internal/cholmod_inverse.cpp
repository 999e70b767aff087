#include "solver/linalg/internal/cholmod_inverse.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/internal/node_graph.h"

#include <cholmod.h>

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::solver::internal {

struct CholmodInverse::Handle
{
    cholmod_common common{};
    cholmod_factor* factor = nullptr;
    cholmod_dense *x = nullptr, *y = nullptr, *e = nullptr; ///< workspace reused by every solve

    Handle()
    {
        cholmod_start(&common);
        common.supernodal = CHOLMOD_SUPERNODAL;
        common.print = 0;
        common.nmethods = 1;
        common.method[0].ordering = CHOLMOD_GIVEN;
    }
    ~Handle()
    {
        cholmod_free_dense(&x, &common);
        cholmod_free_dense(&y, &common);
        cholmod_free_dense(&e, &common);
        cholmod_free_factor(&factor, &common);
        cholmod_finish(&common);
    }
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
};

namespace {

cholmod_sparse view_of(SparseMatrix& A)
{
    cholmod_sparse view{};
    view.nrow = view.ncol = static_cast<std::size_t>(A.rows());
    view.nzmax = static_cast<std::size_t>(A.nonZeros());
    view.p = A.outerIndexPtr();
    view.i = A.innerIndexPtr();
    view.x = A.valuePtr();
    view.stype = -1;
    view.itype = CHOLMOD_INT;
    view.xtype = CHOLMOD_REAL;
    view.dtype = CHOLMOD_DOUBLE;
    view.sorted = view.packed = 1;
    return view;
}

} // namespace

CholmodInverse::CholmodInverse(const SparseMatrix& K, const SparseMatrix& M, int nodes_dof)
    : K_(K), M_(M), nodes_dof_(nodes_dof), handle_(std::make_unique<Handle>())
{
}

CholmodInverse::~CholmodInverse() = default;

void CholmodInverse::set_shift(double sigma)
{
    SparseMatrix A = (K_ - sigma * M_).triangularView<Eigen::Lower>();
    A.makeCompressed();
    cholmod_sparse view = view_of(A);
    const NodeGraph graph = make_node_graph(K_, M_, nodes_dof_);
    std::vector<int> order;
    for (const int node : dissection_order(graph)) {
        for (int u = graph.first[node]; u < graph.first[node + 1]; ++u) order.push_back(u);
    }
    cholmod_common& common = handle_->common;
    cholmod_free_factor(&handle_->factor, &common);
    handle_->factor = cholmod_analyze_p(&view, order.data(), nullptr, 0, &common);
    if (handle_->factor == nullptr || !cholmod_factorize(&view, handle_->factor, &common) ||
        common.status != CHOLMOD_OK) {
        throw SolverError(fmt::format("K − σM is not positive definite at σ = {:.6g} rad²/s² (CHOLMOD status {})",
                                      sigma, common.status));
    }
}

void CholmodInverse::perform_op(const double* in, double* out) const
{
    cholmod_dense rhs{};
    rhs.nrow = rhs.d = rhs.nzmax = static_cast<std::size_t>(rows());
    rhs.ncol = 1;
    rhs.x = const_cast<double*>(in); // CHOLMOD has no const view; it only reads
    rhs.xtype = CHOLMOD_REAL;
    rhs.dtype = CHOLMOD_DOUBLE;
    cholmod_solve2(CHOLMOD_A, handle_->factor, &rhs, nullptr, &handle_->x, nullptr, &handle_->y, &handle_->e,
                   &handle_->common);
    std::copy_n(static_cast<const double*>(handle_->x->x), rows(), out);
}

} // namespace stillwall::solver::internal
