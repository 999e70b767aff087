#include "solver/linalg/complex_modes.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/internal/eigen_checks.h"
#include "solver/linalg/internal/lossy_batches.h"
#include "solver/linalg/internal/lossy_start.h"
#include "solver/linalg/internal/split_loss.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

namespace stillwall::solver {

namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using internal::LossyOperator;
using internal::ReducedMode;

void check(const LossyProblem& problem, const EigenResult& real, const ComplexModesOptions& options)
{
    internal::check_pair(problem.K, problem.M);
    const auto fits = [&](const SparseMatrix& A) {
        return A.rows() == problem.K.rows() && A.cols() == problem.K.cols();
    };
    bool is_sound = (problem.K_loss.nonZeros() == 0 || fits(problem.K_loss)) && real.phi.rows() == problem.K.rows() &&
                    real.phi.cols() == real.lambda.size();
    for (const DependentStiffness& d : problem.dependent)
        is_sound = is_sound && fits(d.K) && d.K.isCompressed() && d.change;
    if (!is_sound || !problem.K_loss.isCompressed()) {
        throw DomainError("lossy modes: stiffness, loss, layers and real modes must be compressed and of one size, "
                          "each layer with its change");
    }
    if (!(options.tolerance > 0) || !(options.f_shift > 0) || options.max_rounds < 1) {
        throw DomainError(
            fmt::format("lossy modes: tolerance and shift must be > 0, rounds at least 1, got {}, {} and {}",
                        options.tolerance, options.f_shift, options.max_rounds));
    }
}

// K_re(f) has the pattern of K when the layers lie inside it; else it needs an order of its own.
std::shared_ptr<const internal::FrontTree> order_for(const LossyProblem& problem, const EigenResult& real,
                                                     int nodes_dof)
{
    SparseMatrix all = problem.K;
    for (const DependentStiffness& d : problem.dependent) all = SparseMatrix(all + d.K);
    all.makeCompressed();
    if (real.ordering && real.ordering->size() == all.cols() && all.nonZeros() == problem.K.nonZeros())
        return real.ordering;
    const internal::NodeGraph graph = internal::make_node_graph(all, problem.M, nodes_dof);
    return std::make_shared<const internal::FrontTree>(
        internal::make_front_tree(graph, internal::dissection_order(graph)));
}

bool is_same(const internal::EnrichedModes& modes, Index i, Index j)
{
    return std::abs(modes.lambda[i] - modes.lambda[j]) < 1e-5 * std::abs(modes.lambda[j]) &&
           internal::likeness(modes.phi.col(i), modes.phi.col(j)) > 0.99;
}

// Starts that turn out to lead to one mode are made up for by those kept in reserve.
// @param starts  the first n wanted; where one is made up for, the other takes its place
internal::EnrichedModes enrich_all(const internal::LossyBatches& batches, std::vector<ReducedMode>& starts, Index n)
{
    internal::EnrichedModes found = batches.enrich(std::span(starts).first(static_cast<std::size_t>(n)));
    auto spare = static_cast<std::size_t>(n);
    for (Index j = 0; j < n; ++j) {
        const auto is_taken = [&] {
            for (Index i = 0; i < n; ++i) {
                if (i != j && is_same(found, i, j)) return true;
            }
            return false;
        };
        while (is_taken()) {
            if (spare == starts.size()) {
                throw SolverError(
                    fmt::format("two lossy modes run into one near {:.4g} Hz", internal::hertz(found.lambda[j])));
            }
            starts[static_cast<std::size_t>(j)] = starts[spare++];
            const internal::EnrichedModes other =
                batches.enrich(std::span(starts).subspan(static_cast<std::size_t>(j), 1));
            found.lambda[j] = other.lambda[0];
            found.phi.col(j) = other.phi;
            found.residual[j] = other.residual[0];
        }
    }
    return found;
}

// Of modes of equal λ (to 1e-7) any mixture solves the problem: that with φ_iᵀMφ_j = 0 is taken.
void separate(const LossyOperator& op, internal::EnrichedModes& modes)
{
    for (Index j = 0; j < modes.lambda.size(); ++j) {
        bool is_changed = false;
        Eigen::VectorXcd phi = modes.phi.col(j);
        for (Index i = 0; i < j; ++i) {
            if (std::abs(modes.lambda[i] - modes.lambda[j]) > 1e-7 * std::abs(modes.lambda[j])) continue;
            phi -= (modes.phi.col(i).transpose() * (op.M() * phi))(0) * modes.phi.col(i);
            is_changed = true;
        }
        if (!is_changed) continue;
        phi /= std::sqrt((phi.transpose() * (op.M() * phi))(0));
        internal::Eight parts = internal::Eight::Zero(8, phi.size());
        parts.row(0) = phi.real().transpose();
        parts.row(1) = phi.imag().transpose();
        const internal::LossyResidual residual = op.residual(parts, {&modes.lambda[j], 1});
        modes.phi.col(j) = phi;
        modes.residual[j] = residual.size[0] / residual.scale[0];
    }
}

// Each real mode gets the lossy mode that is most like it, where one holds over half of it; the others keep their
// order. The real modes are the first coordinates of the starts, which are as good as the modes here.
std::vector<Index> order_as(std::span<const ReducedMode> starts, Index first, Index n)
{
    Eigen::MatrixXd likeness(n, n);
    for (Index k = 0; k < n; ++k) {
        const Eigen::VectorXcd& c = starts[static_cast<std::size_t>(k)].c;
        likeness.col(k) = c.segment(first, n).cwiseAbs2() / c.squaredNorm();
    }
    std::vector<Index> place(static_cast<std::size_t>(n), -1);
    std::vector<bool> is_taken(static_cast<std::size_t>(n), false);
    for (Index i = 0; i < n; ++i) {
        Index best = 0;
        if (likeness.row(i).maxCoeff(&best) <= 0.5 || is_taken[static_cast<std::size_t>(best)]) continue;
        place[static_cast<std::size_t>(i)] = best;
        is_taken[static_cast<std::size_t>(best)] = true;
    }
    Index free = 0;
    for (Index& k : place) {
        if (k >= 0) continue;
        while (is_taken[static_cast<std::size_t>(free)]) ++free;
        k = free++;
    }
    return place;
}

// All elastic modes, in the order of `real`.
void solve(const LossyProblem& problem, internal::SplitLoss loss, const EigenResult& real, int first,
           const ComplexModesOptions& options, ComplexModes& result)
{
    const LossyOperator op(problem, std::move(loss), std::pow(2 * std::numbers::pi * options.f_shift, 2));
    const internal::SearchSpace space = internal::start_space(op, real, first, options);
    const auto tree = order_for(problem, real, options.nodes_dof);
    const auto n = static_cast<int>(real.lambda.size());
    std::vector<ReducedMode> starts = internal::start_modes(op, space, first, n, internal::hertz(real.lambda[first]));
    internal::EnrichedModes found = enrich_all({op, space, tree, options}, starts, n - first);
    separate(op, found);
    Index worst = 0;
    if (found.residual.maxCoeff(&worst) > 100 * options.tolerance) {
        throw SolverError(fmt::format("the lossy mode at {:.4g} Hz does not converge: residual {:.1e} after {} rounds",
                                      internal::hertz(found.lambda[worst]), found.residual[worst], found.n_rounds));
    }
    const std::vector<Index> place = order_as(starts, first, n - first);
    for (std::size_t i = 0; i < place.size(); ++i) {
        const Index to = first + static_cast<Index>(i);
        result.lambda[to] = found.lambda[place[i]];
        result.phi.col(to) = found.phi.col(place[i]);
        result.residual[to] = found.residual[place[i]];
    }
    result.n_rounds = found.n_rounds;
}

// The largest entry's real part > 0.
void turn_upright(Eigen::MatrixXcd& phi)
{
    for (Index k = 0; k < phi.cols(); ++k) {
        Index largest = 0;
        phi.col(k).cwiseAbs2().maxCoeff(&largest);
        if (phi(largest, k).real() < 0) phi.col(k) *= -1;
    }
}

} // namespace

ComplexModes complex_modes(const LossyProblem& problem, const EigenResult& real, const ComplexModesOptions& options)
{
    check(problem, real, options);
    const internal::OneBlasThread one_thread;
    ComplexModes result;
    result.lambda = real.lambda.cast<Complex>();
    result.phi = real.phi.cast<Complex>();
    result.residual = real.residual;
    const double rigid = std::pow(2 * std::numbers::pi * options.rigid_below_Hz, 2);
    const auto first = std::lower_bound(real.lambda.begin(), real.lambda.end(), rigid) - real.lambda.begin();
    internal::SplitLoss loss = internal::split_loss(problem.K, problem.K_loss);
    if (problem.dependent.empty() && loss.rest.nonZeros() == 0) {
        result.is_real = true;
        result.lambda.tail(real.lambda.size() - first) *= Complex(1, loss.eta);
        turn_upright(result.phi);
        return result;
    }
    if (first < real.lambda.size()) solve(problem, std::move(loss), real, static_cast<int>(first), options, result);
    turn_upright(result.phi);
    return result;
}

} // namespace stillwall::solver
