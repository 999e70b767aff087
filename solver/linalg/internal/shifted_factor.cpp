#include "solver/linalg/internal/shifted_factor.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/internal/signed_cholesky.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace stillwall::solver::internal {

// Update matrices of fronts whose parent has not come yet lie on a stack; the tree's order makes it last in, first out.
struct ShiftedFactor::Workspace
{
    double* panel = nullptr; ///< of the front at hand
    Buffer stack;
    std::size_t top = 0;
    std::vector<std::size_t> update; ///< by front: where its update matrix lies on the stack
    std::vector<int> local;          ///< by position: row within the panel or update at hand
    std::vector<double> scratch;
};

namespace {

std::size_t update_size(const Front& front)
{
    return static_cast<std::size_t>(front.n_rows()) * front.n_rows();
}

std::size_t panel_size(const Front& front)
{
    return static_cast<std::size_t>(front.height()) * front.n_cols;
}

std::size_t largest_panel(const FrontTree& tree)
{
    std::size_t largest = 0;
    for (const Front& front : tree.fronts) largest = std::max(largest, panel_size(front));
    return largest;
}

std::size_t stack_size(const FrontTree& tree)
{
    std::size_t top = 0, peak = 0;
    for (const Front& front : tree.fronts) {
        peak = std::max(peak, top + update_size(front));
        for (const int c : front.children) top -= update_size(tree.fronts[c]);
        top += update_size(front);
    }
    return peak;
}

// Adds a child's update to the panel and the update of its parent, column by column in runs of neighbouring rows.
void extend_add(const double* U, const Front& child, const Front& parent, const std::vector<int>& local, double* panel,
                double* update)
{
    struct Run
    {
        int from, length, to;
    };
    const int m = child.n_rows();
    std::vector<int> to(m);
    std::vector<Run> runs;
    for (int i = 0; i < m; ++i) {
        to[i] = local[child.rows[i]];
        if (i > 0 && to[i] == to[i - 1] + 1) {
            ++runs.back().length;
        } else {
            runs.push_back({i, 1, to[i]});
        }
    }
    std::size_t r = 0;
    for (int j = 0; j < m; ++j) {
        const double* source = U + static_cast<std::size_t>(j) * m;
        double* target =
            to[j] < parent.n_cols
                ? panel + static_cast<std::size_t>(to[j]) * parent.height()
                : update + static_cast<std::size_t>(to[j] - parent.n_cols) * parent.n_rows() - parent.n_cols;
        while (runs[r].from + runs[r].length <= j) ++r;
        for (std::size_t q = r; q < runs.size(); ++q) {
            const int skip = std::max(0, j - runs[q].from);
            const double* from = source + runs[q].from + skip;
            double* into = target + runs[q].to + skip;
            for (int i = 0; i < runs[q].length - skip; ++i) into[i] += from[i];
        }
    }
}

} // namespace

ShiftedFactor::ShiftedFactor(const SparseMatrix& K, const SparseMatrix& M, double sigma,
                             std::shared_ptr<const FrontTree> tree, Use use)
    : tree_(std::move(tree)), sigma_(sigma), sign_(tree_->size()), inverse_pivot_(tree_->size())
{
    Workspace work;
    work.stack = Buffer(stack_size(*tree_));
    work.update.resize(tree_->fronts.size());
    work.local.resize(tree_->size());
    values_ = Buffer(use == Use::Solve ? tree_->n_values : largest_panel(*tree_));
    const Eigen::VectorXd diagonal = K.diagonal().cwiseAbs() + std::abs(sigma) * M.diagonal().cwiseAbs();
    for (int f = 0; f < static_cast<int>(tree_->fronts.size()); ++f) {
        const Front& front = tree_->fronts[f];
        work.panel = values_.data() + (use == Use::Solve ? front.panel : 0);
        std::fill_n(work.panel, panel_size(front), 0.0);
        for (int i = 0; i < front.n_cols; ++i) work.local[front.first + i] = i;
        for (int i = 0; i < front.n_rows(); ++i) work.local[front.rows[i]] = front.n_cols + i;
        assemble(K, 1, front, work);
        assemble(M, -sigma, front, work);
        factor_front(f, work);
        watch_pivots(front, work.panel, diagonal);
    }
}

void ShiftedFactor::assemble(const SparseMatrix& A, double scale, const Front& front, Workspace& work) const
{
    const int* outer = A.outerIndexPtr();
    const int* inner = A.innerIndexPtr();
    const double* value = A.valuePtr();
    for (int j = 0; j < front.n_cols; ++j) {
        double* column = work.panel + static_cast<std::size_t>(j) * front.height();
        const int unknown = tree_->unknown[front.first + j];
        for (int k = outer[unknown]; k < outer[unknown + 1]; ++k) {
            const int position = tree_->position[inner[k]];
            if (position >= front.first + j) column[work.local[position]] += scale * value[k];
        }
    }
}

void ShiftedFactor::factor_front(int f, Workspace& work)
{
    const Front& front = tree_->fronts[f];
    const int m = front.n_rows();
    double* panel = work.panel;
    double* update = work.stack.data() + work.top;
    for (int j = 0; j < m; ++j) std::fill_n(update + static_cast<std::size_t>(j) * m + j, m - j, 0.0);
    std::size_t bottom = work.top;
    for (const int c : front.children) {
        extend_add(work.stack.data() + work.update[c], tree_->fronts[c], front, work.local, panel, update);
        bottom = std::min(bottom, work.update[c]);
    }
    // The children are used up: the front's own update takes their place.
    double* final_update = work.stack.data() + bottom;
    if (final_update != update) {
        for (int j = 0; j < m; ++j) {
            const std::size_t at = static_cast<std::size_t>(j) * m + j;
            std::copy_n(update + at, m - j, final_update + at);
        }
    }
    work.update[f] = bottom;
    work.top = bottom + update_size(front);
    if (!factor_panel(front.n_cols, front.height(), panel, sign_.data() + front.first, work.scratch)) {
        throw SolverError("factorisation of K − σM broke down near unknown " +
                          std::to_string(tree_->unknown[front.first]) + ": pivot zero or not finite");
    }
    update_below(front.n_cols, front.height(), panel, sign_.data() + front.first, final_update, work.scratch);
}

void ShiftedFactor::watch_pivots(const Front& front, const double* panel, const Eigen::VectorXd& diagonal)
{
    const int height = front.height();
    for (int k = 0; k < front.n_cols; ++k) {
        const double* column = panel + static_cast<std::size_t>(k) * height;
        inverse_pivot_[front.first + k] = 1 / column[k];
        if (sign_[front.first + k] > 0) continue;
        ++n_negative_;
        for (int i = k + 1; i < height; ++i) {
            const int position = i < front.n_cols ? front.first + i : front.rows[i - front.n_cols];
            growth_ = std::max(growth_, column[i] * column[i] / diagonal[tree_->unknown[position]]);
        }
    }
}

Eight ShiftedFactor::solve(const Eight& B) const
{
    Eight X(8, B.cols());
    for (int p = 0; p < tree_->size(); ++p) X.col(p) = B.col(tree_->unknown[p]);
    int tallest = 0;
    for (const Front& front : tree_->fronts) tallest = std::max(tallest, front.n_rows());
    Eight scratch(8, tallest);
    for (const Front& front : tree_->fronts) panel_forward(view(front), X.data(), scratch.data());
    for (int p = 0; p < tree_->size(); ++p) {
        if (sign_[p] < 0) X.col(p) = -X.col(p);
    }
    for (std::size_t f = tree_->fronts.size(); f-- > 0;)
        panel_backward(view(tree_->fronts[f]), X.data(), scratch.data());
    Eight result(8, B.cols());
    for (int p = 0; p < tree_->size(); ++p) result.col(tree_->unknown[p]) = X.col(p);
    return result;
}

PanelView ShiftedFactor::view(const Front& front) const
{
    return {values_.data() + front.panel,       front.n_cols, front.n_rows(), front.first, front.rows.data(),
            inverse_pivot_.data() + front.first};
}

} // namespace stillwall::solver::internal
