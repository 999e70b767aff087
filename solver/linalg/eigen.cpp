#include "solver/linalg/eigen.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/internal/block_lanczos.h"
#include "solver/linalg/internal/eigen_checks.h"
#include "solver/linalg/internal/shifted_factor.h"
#include "solver/linalg/internal/sparse_product.h"
#include "solver/linalg/parallel.h"
#include "solver/linalg/seconds.h"

#include <chrono>
#include <cmath>
#include <limits>
#include <memory>
#include <numbers>

#include <fmt/format.h>

namespace stillwall::solver {

namespace {

using internal::FrontTree;
using internal::seconds_since;
using internal::ShiftedFactor;

double square_Hz(double f_Hz)
{
    return std::pow(2 * std::numbers::pi * f_Hz, 2);
}

std::shared_ptr<const FrontTree> analyse(const SparseMatrix& K, const SparseMatrix& M, int nodes_dof)
{
    const internal::NodeGraph graph = internal::make_node_graph(K, M, nodes_dof);
    return std::make_shared<const FrontTree>(internal::make_front_tree(graph, internal::dissection_order(graph)));
}

// Eigenvalues below λ. Without pivoting the factor is sound unless λ lies next to an eigenvalue of the pair or of a
// leading block; then λ moves up a little.
internal::Count count_near(const SparseMatrix& K, const SparseMatrix& M, double lambda,
                           const std::shared_ptr<const FrontTree>& tree)
{
    constexpr double growth_limit = 1e8; // of round-off 1e-16
    double growth = 0;
    for (const double move : {0.0, 1e-6, 1e-5, 1e-4, 3e-4, 1e-3}) {
        const double tried = lambda + move * std::abs(lambda);
        try {
            const ShiftedFactor factor(K, M, tried, tree, ShiftedFactor::Use::Count);
            if (factor.growth() <= growth_limit) return {factor.n_negative(), tried};
            growth = factor.growth();
        } catch (const SolverError&) {
            growth = std::numeric_limits<double>::infinity();
        }
    }
    throw SolverError(
        fmt::format("K − λM cannot be factored near λ = {:.6g} rad²/s²: pivot growth {:.1e}, limit {:.1e}", lambda,
                    growth, growth_limit));
}

bool is_close_to_limit(const internal::RitzPairs& pairs, double limit)
{
    return internal::is_at_limit(pairs.above, limit) ||
           (pairs.lambda.size() > 0 && internal::is_at_limit(pairs.lambda[pairs.lambda.size() - 1], limit));
}

} // namespace

EigenResult lowest_modes(const SparseMatrix& K, const SparseMatrix& M, const EigenOptions& options)
{
    internal::check_pair(K, M);
    internal::check_options(options);
    const double shift = square_Hz(options.f_shift);
    double limit = square_Hz(options.f_max);
    const internal::OneBlasThread one_thread;
    auto start = std::chrono::steady_clock::now();
    const std::shared_ptr<const FrontTree> tree =
        options.ordering ? options.ordering : analyse(K, M, options.nodes_dof);
    if (tree->size() != K.cols())
        throw DomainError(fmt::format("the ordering is of {} unknowns, the matrices have {}", tree->size(), K.cols()));
    const SparseMatrix mass = internal::without_zeros(M);
    // The count needs nothing of the iteration.
    internal::Aside<internal::Count> counting([&, limit] {
        return options.prove ? count_near(K, mass, limit, tree) : internal::Count{std::nullopt, limit};
    });
    const ShiftedFactor factor(K, mass, -shift, tree, ShiftedFactor::Use::Solve);
    if (factor.n_negative() > 0) {
        throw SolverError(fmt::format("stiffness is not positive semidefinite: {} eigenvalues below −(2π {} Hz)²",
                                      factor.n_negative(), options.f_shift));
    }
    EigenResult result;
    result.ordering = tree;
    result.seconds_factor = seconds_since(start);

    start = std::chrono::steady_clock::now();
    internal::BlockLanczos lanczos(factor, mass, {options.block_size, options.tolerance});
    internal::Count count;
    internal::RitzPairs pairs = lanczos.find_below([&] { return count = counting.get(); });
    for (int retry = 0; options.prove && is_close_to_limit(pairs, count.lambda); ++retry) {
        if (retry == 5)
            throw SolverError(fmt::format("modes crowd at the upper limit {} Hz, choose another", options.f_max));
        limit = count.lambda * (1 + 1e-5);
        pairs = lanczos.find_below([&] { return count = count_near(K, mass, limit, tree); });
    }
    result.lambda = pairs.lambda;
    result.phi = pairs.phi;
    result.residual = internal::relative_residuals(K, mass, result.lambda, result.phi, shift);
    result.n_below = count.n;
    result.is_proved = result.lambda.size() == count.n;
    result.n_solves = lanczos.n_solves();
    result.shift_used = internal::hertz(count.lambda);
    result.seconds_iterate = seconds_since(start);
    return result;
}

} // namespace stillwall::solver
