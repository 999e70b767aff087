#include "mesh/cabinet/error.h"
#include "solver/linalg/eigen.h"
#include "solver/linalg/internal/shifted_factor.h"
#include "solver/linalg/verify.h"
#include "tests/bench/shell_like.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using namespace stillwall;
using solver::EigenOptions;
using solver::EigenResult;
using solver::SparseMatrix;

namespace {

constexpr double pi = std::numbers::pi;

double to_Hz(double lambda)
{
    return std::sqrt(lambda) / (2 * pi);
}

// Frequency limit half-way between eigenvalue n − 1 and the next [Hz].
double limit_after(const VectorXd& lambda, int n)
{
    return to_Hz(0.5 * (lambda[n - 1] + lambda[n]));
}

VectorXd dense_eigenvalues(const SparseMatrix& K, const SparseMatrix& M)
{
    return Eigen::GeneralizedSelfAdjointEigenSolver<MatrixXd>(MatrixXd(K), MatrixXd(M),
                                                              Eigen::EigenvaluesOnly | Eigen::Ax_lBx)
        .eigenvalues();
}

// A band matrix with random entries, K of rank n − n_null and M positive definite; λ between 0 and about 10⁶ rad²/s².
bench::MatrixPair random_pair(int n, int n_null, unsigned seed)
{
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> uniform(-1, 1);
    std::vector<Eigen::Triplet<double>> b, m;
    for (int i = n_null; i < n; ++i) {
        for (int j = std::max(0, i - 9); j <= i; ++j) b.emplace_back(i, j, 1e3 * (uniform(random) + (i == j ? 2 : 0)));
    }
    for (int i = 0; i < n; ++i) {
        for (int j = std::max(0, i - 3); j <= i; ++j) m.emplace_back(i, j, 0.3 * uniform(random) + (i == j ? 2 : 0));
    }
    SparseMatrix B(n, n), C(n, n);
    B.setFromTriplets(b.begin(), b.end());
    C.setFromTriplets(m.begin(), m.end());
    return {SparseMatrix(B.transpose() * B), SparseMatrix(C.transpose() * C)};
}

// The block-diagonal matrix of A and A.
SparseMatrix twice(const SparseMatrix& A)
{
    std::vector<Eigen::Triplet<double>> entries;
    for (int j = 0; j < A.outerSize(); ++j) {
        for (SparseMatrix::InnerIterator it(A, j); it; ++it) {
            entries.emplace_back(it.row(), j, it.value());
            entries.emplace_back(it.row() + A.rows(), j + A.cols(), it.value());
        }
    }
    SparseMatrix result(2 * A.rows(), 2 * A.cols());
    result.setFromTriplets(entries.begin(), entries.end());
    return result;
}

// Five-point Laplace operator on a square of n × n inner points, spacing 1, fixed edge; M = I.
bench::MatrixPair laplace_square(int n)
{
    std::vector<Eigen::Triplet<double>> k;
    for (int i = 0; i < n; ++i) {
        for (int j = 0; j < n; ++j) {
            const int at = i * n + j;
            k.emplace_back(at, at, 4);
            if (i + 1 < n) {
                k.emplace_back(at, at + n, -1);
                k.emplace_back(at + n, at, -1);
            }
            if (j + 1 < n) {
                k.emplace_back(at, at + 1, -1);
                k.emplace_back(at + 1, at, -1);
            }
        }
    }
    bench::MatrixPair pair{SparseMatrix(n * n, n * n), SparseMatrix(n * n, n * n)};
    pair.K.setFromTriplets(k.begin(), k.end());
    pair.M.setIdentity();
    pair.M.makeCompressed();
    return pair;
}

// λ_pq = 4 sin²(pπ/2(n+1)) + 4 sin²(qπ/2(n+1)), ascending.
VectorXd laplace_eigenvalues(int n)
{
    VectorXd line(n), all(n * n);
    for (int p = 0; p < n; ++p) line[p] = 4 * std::pow(std::sin((p + 1) * pi / (2 * (n + 1))), 2);
    for (int i = 0; i < n * n; ++i) all[i] = line[i / n] + line[i % n];
    std::sort(all.begin(), all.end());
    return all;
}

void check_against(const EigenResult& found, const VectorXd& expected, int n, double tolerance)
{
    REQUIRE(found.lambda.size() == n);
    for (int i = 0; i < n; ++i) {
        CAPTURE(i, found.lambda[i], expected[i]);
        CHECK(std::abs(found.lambda[i] - expected[i]) <= tolerance * expected[n]);
    }
}

// Number of eigenvalues below λ, from the factor that the Sturm count takes.
int count_below(const SparseMatrix& K, const SparseMatrix& M, double lambda, int nodes_dof)
{
    using namespace solver::internal;
    const NodeGraph graph = make_node_graph(K, M, nodes_dof);
    const auto tree = std::make_shared<const FrontTree>(make_front_tree(graph, dissection_order(graph)));
    return ShiftedFactor(K, M, lambda, tree, ShiftedFactor::Use::Count).n_negative();
}

double orthonormality_error(const EigenResult& found, const SparseMatrix& M)
{
    return (found.phi.transpose() * (M * found.phi) - MatrixXd::Identity(found.phi.cols(), found.phi.cols()))
        .cwiseAbs()
        .maxCoeff();
}

} // namespace

TEST_CASE("lowest modes of random pairs agree with a dense solver", "[solver][modes][eigen]")
{
    const int n = GENERATE(40, 151, 600);
    const int n_null = GENERATE(0, 6);
    const auto [K, M] = random_pair(n, n_null, 7 * n + n_null);
    // Reference: Eigen's dense generalised solver (Cholesky of M, tridiagonal QL), another algorithm on the same
    // matrices.
    const VectorXd expected = dense_eigenvalues(K, M);
    const int wanted = GENERATE(7, 20, 39);
    EigenOptions options{.f_max = limit_after(expected, wanted), .f_shift = 20};
    options.block_size = GENERATE(1, 6, 11);
    options.nodes_dof = 1;

    const EigenResult found = solver::lowest_modes(K, M, options);

    CAPTURE(n, n_null, wanted, options.block_size);
    CHECK(found.n_below == wanted);
    CHECK(found.is_proved);
    // Tolerance: round-off 1e-16 times the ratio of the largest to the wanted eigenvalues, up to 1e4 here, times
    // head-room.
    check_against(found, expected, wanted, 1e-10);
    // Tolerance: full reorthogonalisation keeps the basis at round-off times √n.
    CHECK(orthonormality_error(found, M) < 1e-10);
    // Tolerance: ten times the tolerance asked for.
    CHECK(found.residual.maxCoeff() < 10 * options.tolerance);
}

TEST_CASE("six null vectors come out as six eigenvalues at zero", "[solver][modes][eigen]")
{
    const auto [K, M] = random_pair(300, 6, 5);
    const EigenResult found = solver::lowest_modes(K, M, {.f_max = 60, .f_shift = 20, .nodes_dof = 1});
    REQUIRE(found.lambda.size() > 6);
    // Reference: K = BᵀB with six empty rows in B. Tolerance: round-off of K (‖K‖ ~ 1e8) over the smallest mass,
    // 1e-8·‖K‖/‖K‖.
    CHECK(found.lambda.head(6).cwiseAbs().maxCoeff() < 1e-4);
    CHECK(found.lambda[6] > 1);
}

TEST_CASE("membrane on a square: exact eigenvalues with degenerate pairs", "[solver][modes][eigen][reference]")
{
    constexpr int n = 40;
    const auto [K, M] = laplace_square(n);
    // Reference: closed form of the five-point operator, see laplace_eigenvalues; pairs (p, q), (q, p) coincide.
    const VectorXd expected = laplace_eigenvalues(n);
    EigenOptions options{.f_max = to_Hz(0.6), .f_shift = to_Hz(0.01)};
    options.nodes_dof = GENERATE(1, 4);
    // A single vector meets a twin only through round-off and restarts; a block of two or more at once.
    options.block_size = GENERATE(1, 2, 6);
    const int below = static_cast<int>((expected.array() < 0.6).count());
    REQUIRE(below > 60);
    REQUIRE(expected[2] - expected[1] < 1e-14);

    const EigenResult found = solver::lowest_modes(K, M, options);

    CAPTURE(options.block_size, options.nodes_dof);
    CHECK(found.n_below == below);
    // Tolerance: round-off of K, 8 · 1e-16, against the limit 0.6, times head-room.
    check_against(found, expected, below, 1e-11);
    CHECK(orthonormality_error(found, M) < 1e-10);
}

TEST_CASE("identical separate parts: eigenvalues of multiplicity eight", "[solver][modes][eigen]")
{
    constexpr int parts = 8, n = 12;
    const auto one = laplace_square(n);
    std::vector<Eigen::Triplet<double>> k;
    for (int p = 0; p < parts; ++p) {
        for (int j = 0; j < one.K.outerSize(); ++j) {
            for (SparseMatrix::InnerIterator it(one.K, j); it; ++it)
                k.emplace_back(p * n * n + it.row(), p * n * n + j, it.value());
        }
    }
    SparseMatrix K(parts * n * n, parts * n * n), M(parts * n * n, parts * n * n);
    K.setFromTriplets(k.begin(), k.end());
    M.setIdentity();
    const VectorXd single = laplace_eigenvalues(n);
    VectorXd expected(parts * n * n);
    for (int i = 0; i < expected.size(); ++i) expected[i] = single[i / parts];

    // More copies than the block has vectors: the Sturm count keeps the search going until all are there.
    const EigenResult found =
        solver::lowest_modes(K, M, {.f_max = to_Hz(0.5), .f_shift = to_Hz(0.02), .block_size = 3, .nodes_dof = 1});

    const int below = static_cast<int>((expected.array() < 0.5).count());
    CHECK(found.n_below == below);
    CHECK(found.is_proved);
    // Reference: each closed-form eigenvalue of one part, eight times. Tolerance: as in the single membrane.
    check_against(found, expected, below, 1e-11);
}

TEST_CASE("the whole spectrum of a small pair", "[solver][modes][eigen]")
{
    // The start block spans the space at once, and later blocks lose rank.
    const auto [K, M] = random_pair(9, 2, 3);
    const VectorXd expected = dense_eigenvalues(K, M);
    const int block = GENERATE(1, 4, 6, 9, 50);
    const EigenResult found =
        solver::lowest_modes(K, M, {.f_max = 1e5, .f_shift = 20, .block_size = block, .nodes_dof = 1});
    CAPTURE(block);
    REQUIRE(found.lambda.size() == 9);
    CHECK(found.n_below == 9);
    // Reference: Eigen's dense solver. Tolerance: round-off of the largest eigenvalue, times head-room.
    CHECK((found.lambda - expected).cwiseAbs().maxCoeff() < 1e-9 * expected[8]);
}

TEST_CASE("many small pairs with wide spectra, half of them doubled", "[solver][modes][eigen]")
{
    // Small spaces run out of directions in mid-block and doubled ones of rank: the hardest case for orthogonality.
    for (unsigned seed = 0; seed < 80; ++seed) {
        std::mt19937 random(seed);
        auto [K, M] = random_pair(8 + static_cast<int>(random() % 60), static_cast<int>(random() % 7), seed);
        std::uniform_real_distribution<double> uniform(-1, 1);
        VectorXd scale(K.rows());
        for (double& s : scale) s = std::pow(30.0, uniform(random));
        K = scale.asDiagonal() * K * scale.asDiagonal();
        if (seed % 2 == 1) {
            K = twice(K);
            M = twice(M);
        }
        // Reference: Eigen's dense generalised solver.
        const VectorXd expected = dense_eigenvalues(K, M);
        const int index =
            std::min(static_cast<int>(K.rows()) - 1, 14 + static_cast<int>(random() % 40)); // above the null space
        const double limit = expected[index] * 1.0001;
        const int block = 1 + static_cast<int>(random() % 8);
        const EigenResult found = solver::lowest_modes(
            K, M, {.f_max = to_Hz(limit), .f_shift = 0.1 * to_Hz(limit), .block_size = block, .nodes_dof = 1});
        CAPTURE(seed, K.rows(), block);
        REQUIRE(found.lambda.size() == (expected.array() < limit).count());
        // Tolerance: round-off of K in either solver, ε ‖K‖ over the smallest mass (≥ 1 here), and the iteration's own
        // 1e-9.
        const double round_off = 10 * std::numeric_limits<double>::epsilon() * MatrixXd(K).norm();
        CHECK((found.lambda - expected.head(found.lambda.size())).cwiseAbs().maxCoeff() < 1e-9 * limit + round_off);
        CHECK(orthonormality_error(found, M) < 1e-8);
    }
}

TEST_CASE("Krylov space smaller than the space", "[solver][modes][eigen]")
{
    // K has only three distinct eigenvalues: any start block is exhausted after three steps.
    constexpr int n = 30;
    SparseMatrix K(n, n), M(n, n);
    M.setIdentity();
    for (int i = 0; i < n; ++i) K.insert(i, i) = 1 + i % 3;
    K.makeCompressed();
    const EigenResult found =
        solver::lowest_modes(K, M, {.f_max = to_Hz(2.5), .f_shift = to_Hz(0.5), .block_size = 2, .nodes_dof = 1});
    REQUIRE(found.lambda.size() == 20);
    // Reference: by construction. Tolerance: round-off.
    CHECK((found.lambda.head(10).array() - 1).abs().maxCoeff() < 1e-12);
    CHECK((found.lambda.tail(10).array() - 2).abs().maxCoeff() < 1e-12);
}

TEST_CASE("Sturm count agrees with the dense spectrum at every gap", "[solver][modes][eigen]")
{
    const auto [K, M] = random_pair(120, 6, 11);
    // Reference: number of dense eigenvalues below λ; exact integers, no tolerance.
    const VectorXd expected = dense_eigenvalues(K, M);
    for (int i = 6; i + 1 < 120; ++i) {
        const double lambda = 0.5 * (expected[i] + expected[i + 1]);
        CAPTURE(i, lambda);
        CHECK(count_below(K, M, lambda, 1) == i + 1);
    }
    CHECK(count_below(K, M, -1, 1) == 0);
}

TEST_CASE("Sturm count does not depend on how unknowns are grouped", "[solver][modes][eigen]")
{
    const auto [K, M] = bench::shell_like_box(3);
    const EigenResult found = solver::lowest_modes(K, M, {.f_max = 2000});
    REQUIRE(found.is_proved);
    const double lambda = std::pow(2 * pi * found.shift_used, 2);
    // Reference: Sylvester's law of inertia, any order of elimination gives the same count.
    CHECK(count_below(K, M, lambda, 6) == found.n_below);
    CHECK(count_below(K, M, lambda, 1) == found.n_below);
    CHECK(count_below(K, M, lambda, 3) == found.n_below);
    CHECK(count_below(K, M, lambda, 7) == found.n_below);
}

TEST_CASE("a limit that hits an eigenvalue is moved", "[solver][modes][eigen]")
{
    constexpr int n = 20;
    const auto [K, M] = laplace_square(n);
    const VectorXd expected = laplace_eigenvalues(n);
    const double f_hit = to_Hz(expected[10]); // one of a degenerate pair
    const EigenResult found = solver::lowest_modes(K, M, {.f_max = f_hit, .f_shift = to_Hz(0.01), .nodes_dof = 1});
    CHECK(found.is_proved);
    CHECK(found.shift_used > f_hit);
    // Reference: the moves written in the code are at most 1e-3 of λ.
    CHECK(found.shift_used < f_hit * (1 + 1e-3));
    const double limit = std::pow(2 * pi * found.shift_used, 2);
    CHECK(found.n_below == (expected.array() < limit).count());
}

TEST_CASE("shell-like box: six rigid modes, residuals, agreement with Spectra", "[solver][modes][eigen]")
{
    const auto [K, M] = bench::shell_like_box(4);
    const EigenOptions options{.f_max = 1200};
    const EigenResult found = solver::lowest_modes(K, M, options);
    REQUIRE(found.is_proved);
    REQUIRE(found.lambda.size() > 30);
    // Reference: a free body has six. Tolerance: 0.01 Hz, round-off of K (1e10 N/m) against the masses (1e-3 kg) is
    // 1e-3 (rad/s)².
    CHECK(to_Hz(std::abs(found.lambda[5])) < 0.01);
    CHECK(to_Hz(found.lambda[6]) > 50);
    CHECK(found.residual.maxCoeff() < 1e-8);

    // Reference: Spectra's Lanczos over CHOLMOD. Tolerance: both at residual 1e-9, errors go with its square.
    const int n = static_cast<int>(found.lambda.size());
    const EigenResult other = solver::lowest_modes_spectra(K, M, n, options);
    for (int i = 6; i < n; ++i) {
        CAPTURE(i);
        CHECK_THAT(found.lambda[i], WithinRel(other.lambda[i], 1e-9));
    }
    CHECK(orthonormality_error(other, M) < 1e-8);
}

TEST_CASE("the second solver meets equal modes too", "[solver][modes][eigen]")
{
    const auto [K, M] = laplace_square(30); // pairs (p, q), (q, p)
    const EigenOptions options{.f_max = to_Hz(0.4), .f_shift = to_Hz(0.01), .nodes_dof = 1};
    const VectorXd lambda = solver::lowest_modes(K, M, options).lambda;
    CHECK(solver::verify_lowest(K, M, lambda, 0, 20, options).agrees);
    CHECK(solver::verify_lowest(K, M, lambda, 0, 0, options).n_modes == 0);
    CHECK_THROWS_AS(solver::verify_lowest(K, M, lambda, 0, static_cast<int>(lambda.size()) + 1, options), DomainError);
}

TEST_CASE("a looser tolerance costs fewer solves and keeps its promise", "[solver][modes][eigen]")
{
    // Reference: the same pencil solved to 1e-10.
    const auto [K, M] = bench::shell_like_box(4);
    const EigenResult tight = solver::lowest_modes(K, M, {.f_max = 1000, .tolerance = 1e-10});
    const EigenResult loose = solver::lowest_modes(K, M, {.f_max = 1000, .tolerance = 1e-4});
    CHECK(loose.n_solves < tight.n_solves);
    CHECK(loose.residual.maxCoeff() < 1e-3);
    CHECK(tight.residual.maxCoeff() < 1e-9);
    REQUIRE(loose.lambda.size() == tight.lambda.size());
    // Tolerance: the error of an eigenvalue goes with the square of the residual, 1e-8, over its relative gap.
    for (int i = 6; i < tight.lambda.size(); ++i) CHECK_THAT(loose.lambda[i], WithinRel(tight.lambda[i], 1e-5));
}

TEST_CASE("without the count the same modes are found", "[solver][modes][eigen]")
{
    // Reference: the same pencil with the count.
    const auto [K, M] = bench::shell_like_box(3);
    const EigenResult proved = solver::lowest_modes(K, M, {.f_max = 1000});
    const EigenResult plain = solver::lowest_modes(K, M, {.f_max = 1000, .prove = false});
    CHECK(!plain.n_below);
    CHECK_FALSE(plain.is_proved);
    REQUIRE(plain.lambda.size() == proved.lambda.size());
    // Tolerance: as in the agreement with Spectra.
    for (int i = 6; i < plain.lambda.size(); ++i) CHECK_THAT(plain.lambda[i], WithinRel(proved.lambda[i], 1e-9));
}

TEST_CASE("the same digits on every run", "[solver][modes][eigen]")
{
    const auto [K, M] = bench::shell_like_box(3);
    const EigenResult a = solver::lowest_modes(K, M, {.f_max = 1000}), b = solver::lowest_modes(K, M, {.f_max = 1000});
    // Reference: the start block has a fixed seed and no sum depends on timing; exact equality is the claim.
    CHECK(a.lambda == b.lambda);
    CHECK(a.phi == b.phi);
}

TEST_CASE("no mode below the limit is a result, not an error", "[solver][modes][eigen]")
{
    const auto [K, M] = laplace_square(10);
    const EigenResult found =
        solver::lowest_modes(K, M, {.f_max = to_Hz(0.01), .f_shift = to_Hz(0.01), .nodes_dof = 1});
    CHECK(found.lambda.size() == 0);
    CHECK(found.phi.rows() == 100);
    CHECK(found.n_below == 0);
    CHECK(found.is_proved);
}

TEST_CASE("unsound matrices are refused", "[solver][modes][eigen][error]")
{
    auto [K, M] = laplace_square(10);
    const EigenOptions options{.f_max = to_Hz(0.5), .f_shift = to_Hz(0.01), .nodes_dof = 1};
    SECTION("mass with a negative diagonal")
    {
        M.coeffRef(5, 5) = -1;
        CHECK_THROWS_AS(solver::lowest_modes(K, M, options), SolverError);
    }
    SECTION("mass with a zero diagonal")
    {
        M.coeffRef(5, 5) = 0;
        CHECK_THROWS_AS(solver::lowest_modes(K, M, options), SolverError);
    }
    SECTION("mass indefinite behind a positive diagonal")
    {
        // Eigenvalues 1 ± 3 in the plane of unknowns 44, 45.
        M.coeffRef(44, 45) = M.coeffRef(45, 44) = 3;
        M.makeCompressed();
        CHECK_THROWS_AS(solver::lowest_modes(K, M, options), SolverError);
    }
    SECTION("stiffness with an eigenvalue far below zero")
    {
        K.coeffRef(50, 50) = -100;
        CHECK_THROWS_WITH(solver::lowest_modes(K, M, options), Contains("not positive semidefinite"));
    }
    SECTION("a value that is not finite")
    {
        SparseMatrix& broken = GENERATE(true, false) ? K : M;
        broken.coeffRef(7, 7) =
            GENERATE(std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity());
        CHECK_THROWS_AS(solver::lowest_modes(K, M, options), DomainError);
        CHECK_THROWS_AS(solver::lowest_modes_spectra(K, M, 3, options), DomainError);
    }
    SECTION("different sizes")
    {
        CHECK_THROWS_AS(solver::lowest_modes(K, laplace_square(9).M, options), DomainError);
    }
    SECTION("options out of range")
    {
        CHECK_THROWS_AS(solver::lowest_modes(K, M, {.f_max = 0}), DomainError);
        CHECK_THROWS_AS(solver::lowest_modes(K, M, {.f_shift = -1}), DomainError);
        CHECK_THROWS_AS(solver::lowest_modes(K, M, {.block_size = 0}), DomainError);
        CHECK_THROWS_AS(solver::lowest_modes_spectra(K, M, 100, options), DomainError);
    }
}
