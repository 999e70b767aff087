// The second solver: agrees where all is right, and catches what is planted.

#include "solver/linalg/verify.h"
#include "tests/bench/shell_like.h"

#include <catch2/catch.hpp>

using namespace stillwall;
using Catch::Matchers::WithinRel;
using Eigen::VectorXd;
using solver::EigenOptions;

TEST_CASE("the second solver agrees, and catches a wrong, a missing and a doubled mode", "[solver][modes][eigen]")
{
    const auto [K, M] = bench::shell_like_box(4);
    const EigenOptions options{.f_max = 1200};
    const VectorXd lambda = solver::lowest_modes(K, M, options).lambda;
    constexpr int n_rigid = 6, n = 15;
    const solver::Verified right = solver::verify_lowest(K, M, lambda, 1, n, options);
    CHECK(right.n_modes == n);
    CHECK(right.agrees);
    // Tolerance: residuals of 1e-9, whose square counts, and round-off of K against the lowest mode.
    CHECK(right.largest_difference < 1e-9);

    for (const int at : {n_rigid, n_rigid + 7, n_rigid + n - 1}) {
        CAPTURE(at);
        VectorXd wrong = lambda;
        wrong[at] *= 1 + 1e-5; // 5e-6 of the frequency
        const solver::Verified caught = solver::verify_lowest(K, M, wrong, 1, n, options);
        CHECK_FALSE(caught.agrees);
        // Reference: what was planted, (1 + 1e-5)^-½ − 1. Tolerance: its second order.
        CHECK_THAT(caught.largest_difference, WithinRel(5e-6, 1e-3));

        VectorXd missing(lambda.size() - 1), doubled(lambda.size() + 1);
        missing << lambda.head(at), lambda.tail(lambda.size() - at - 1);
        doubled << lambda.head(at + 1), lambda.tail(lambda.size() - at);
        CHECK_FALSE(solver::verify_lowest(K, M, missing, 1, n, options).agrees);
        if (at < n_rigid + n - 1) CHECK_FALSE(solver::verify_lowest(K, M, doubled, 1, n, options).agrees);
    }
}

TEST_CASE("the second solver agrees on however few modes, whatever rigid ones it misses", "[solver][modes][eigen]")
{
    // Of six equal modes a single-vector iteration that is asked for few finds five or less.
    const int cells = GENERATE(1, 2, 3);
    const auto [K, M] = bench::shell_like_box(cells);
    const EigenOptions options{.f_max = 600};
    const VectorXd lambda = solver::lowest_modes(K, M, options).lambda;
    REQUIRE(lambda.size() >= 6 + 4);
    for (const int n : {1, 2, 4}) {
        const solver::Verified verified = solver::verify_lowest(K, M, lambda, 1, n, options);
        CAPTURE(cells, n, verified.largest_difference);
        CHECK(verified.agrees);
    }
}
