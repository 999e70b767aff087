#include "solver/linalg/verify.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/seconds.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

namespace stillwall::solver {

Verified verify_lowest(const SparseMatrix& K, const SparseMatrix& M, const Eigen::VectorXd& lambda, int n_rigid, int n,
                       const EigenOptions& options)
{
    if (n_rigid < 0 || n < 0 || n > lambda.size() - n_rigid)
        throw DomainError(
            fmt::format("cannot compare {} modes above {} rigid ones, {} are known", n, n_rigid, lambda.size()));
    Verified verified;
    verified.n_modes = n;
    if (n == 0) return verified;
    const auto start = std::chrono::steady_clock::now();
    // A few more than compared: a single-vector iteration meets the second of two equal modes late.
    constexpr int more = 4;
    const int asked = std::min<int>(n_rigid + n + more, static_cast<int>(K.rows()) - 1);
    Eigen::VectorXd again;
    try {
        again = lowest_modes_spectra(K, M, asked, options).lambda;
    } catch (const SolverError& error) {
        verified.agrees = false;
        verified.problem = error.what();
        return verified;
    }
    for (int i = n_rigid; i < n_rigid + n; ++i) {
        const double difference = std::abs(std::sqrt(std::max(again[i], 0.0) / lambda[i]) - 1);
        verified.largest_difference = std::max(verified.largest_difference, difference);
    }
    verified.agrees = verified.largest_difference <= verify_limit;
    verified.seconds = internal::seconds_since(start);
    return verified;
}

} // namespace stillwall::solver
