#include "solver/linalg/verify.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/seconds.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

namespace {

/// Those of an ascending list that are not rigid.
Eigen::VectorXd elastic(const Eigen::VectorXd& lambda, double f_rigid_Hz)
{
    const double limit = std::pow(2 * std::numbers::pi * f_rigid_Hz, 2);
    return lambda.tail((lambda.array() >= limit).count());
}

/// Of the n lowest frequencies; 1: one list is too short.
double largest_difference(const Eigen::VectorXd& known, const Eigen::VectorXd& again, int n)
{
    if (again.size() < n) return 1;
    return n > 0 ? ((again.head(n).array() / known.head(n).array()).sqrt() - 1).abs().maxCoeff() : 0;
}

} // namespace

Verified verify_lowest(const SparseMatrix& K, const SparseMatrix& M, const Eigen::VectorXd& lambda, double f_rigid_Hz,
                       int n, const EigenOptions& options)
{
    const Eigen::VectorXd known = elastic(lambda, f_rigid_Hz);
    if (n < 0 || n > known.size())
        throw DomainError(fmt::format("cannot compare {} modes, {} are known", n, known.size()));
    Verified verified;
    verified.n_modes = n;
    if (n == 0) return verified;
    const auto start = std::chrono::steady_clock::now();
    const auto n_rigid = static_cast<int>(lambda.size() - known.size());
    // More than compared: a single-vector iteration meets the second of two equal modes late. What it still misses
    // among a few more it must find among many more, or else the two disagree.
    for (const int more : {6, 30}) {
        const int asked = std::min(n_rigid + n + more, static_cast<int>(K.rows()) - 1);
        try {
            const Eigen::VectorXd again = lowest_modes_spectra(K, M, asked, options).lambda;
            verified.largest_difference = largest_difference(known, elastic(again, f_rigid_Hz), n);
            verified.agrees = verified.largest_difference <= verify_limit;
            verified.problem.clear();
        } catch (const SolverError& error) {
            verified.agrees = false;
            verified.problem = error.what();
        }
        if (verified.agrees) break;
    }
    verified.seconds = internal::seconds_since(start);
    return verified;
}

} // namespace stillwall::solver
