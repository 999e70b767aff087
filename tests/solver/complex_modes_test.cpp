// Lossy modes against dense complex solutions, and the laws they obey.

#include "mesh/cabinet/error.h"
#include "solver/linalg/complex_modes.h"
#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;
using namespace stillwall;
using solver::ComplexModes;
using solver::DependentStiffness;
using solver::EigenResult;
using solver::LossyProblem;
using solver::SparseMatrix;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

double to_Hz(Complex lambda)
{
    return std::sqrt(lambda.real()) / (2 * pi);
}

/// A net of unit masses, nx × ny, each joined to its neighbours, the edge held; springs of 1e6 N/m times a weight given
/// by place (0 … 1 across and up): a membrane, λ from about 1e5 to 8e6 rad²/s².
template <class Weight> SparseMatrix net(int nx, int ny, const Weight& weight)
{
    std::vector<Eigen::Triplet<double>> entries;
    const auto add_spring = [&](int i, int j, int k, int l) {
        const double value = 1e6 * weight((i + k + 2) / (2.0 * (nx + 1)), (j + l + 2) / (2.0 * (ny + 1)));
        const auto is_inside = [&](int p, int q) { return p >= 0 && q >= 0 && p < nx && q < ny; };
        const int a = i * ny + j, b = k * ny + l;
        if (is_inside(i, j)) entries.emplace_back(a, a, value);
        if (is_inside(k, l)) entries.emplace_back(b, b, value);
        if (!is_inside(i, j) || !is_inside(k, l)) return;
        entries.emplace_back(a, b, -value);
        entries.emplace_back(b, a, -value);
    };
    for (int i = -1; i < nx; ++i) {
        for (int j = -1; j < ny; ++j) {
            if (j >= 0) add_spring(i, j, i + 1, j);
            if (i >= 0) add_spring(i, j, i, j + 1);
        }
    }
    SparseMatrix K(nx * ny, nx * ny);
    K.setFromTriplets(entries.begin(), entries.end());
    return K;
}

double one(double, double)
{
    return 1;
}

/// Unit masses.
SparseMatrix masses(int n)
{
    SparseMatrix M(n, n);
    M.setIdentity();
    M.makeCompressed();
    return M;
}

EigenResult real_modes(const SparseMatrix& K, const SparseMatrix& M, int n)
{
    const VectorXd all = Eigen::GeneralizedSelfAdjointEigenSolver<MatrixXd>(MatrixXd(K), MatrixXd(M)).eigenvalues();
    return solver::lowest_modes(K, M, {.f_max = to_Hz(0.5 * (all[n - 1] + all[n])), .nodes_dof = 1});
}

MatrixXcd dense(const LossyProblem& problem, double f_Hz)
{
    MatrixXcd A = MatrixXd(problem.K).cast<Complex>();
    if (problem.K_loss.nonZeros() > 0) A += Complex(0, 1) * MatrixXd(problem.K_loss).cast<Complex>();
    for (const DependentStiffness& d : problem.dependent) A += d.change(f_Hz) * MatrixXd(d.K).cast<Complex>();
    return A;
}

/// Eigenvalues of K*(f) with unit masses, by real part: QR on the full matrix, another way than the code under test.
std::vector<Complex> dense_eigenvalues(const LossyProblem& problem, double f_Hz)
{
    const VectorXcd lambda = Eigen::ComplexEigenSolver<MatrixXcd>(dense(problem, f_Hz), false).eigenvalues();
    std::vector<Complex> sorted(lambda.begin(), lambda.end());
    std::sort(sorted.begin(), sorted.end(), [](Complex a, Complex b) { return a.real() < b.real(); });
    return sorted;
}

std::vector<Complex> by_real_part(const ComplexModes& modes)
{
    std::vector<Complex> sorted(modes.lambda.begin(), modes.lambda.end());
    std::sort(sorted.begin(), sorted.end(), [](Complex a, Complex b) { return a.real() < b.real(); });
    return sorted;
}

/// What every solution must fulfil, from the matrices alone.
void check_laws(const LossyProblem& problem, const ComplexModes& modes, Index first = 0)
{
    const double sigma = std::pow(2 * pi * 60, 2);
    for (Index k = first; k < modes.lambda.size(); ++k) {
        const VectorXcd phi = modes.phi.col(k);
        const Complex lambda = modes.lambda[k];
        VectorXcd real_part = problem.K * phi, loss = VectorXcd::Zero(phi.size());
        const VectorXcd scale = real_part + sigma * (problem.M * phi);
        if (problem.K_loss.nonZeros() > 0) loss = problem.K_loss * phi;
        for (const DependentStiffness& d : problem.dependent) {
            const Complex s = d.change(to_Hz(lambda));
            real_part += s.real() * (d.K * phi);
            loss += s.imag() * (d.K * phi);
        }
        const double residual = (real_part + Complex(0, 1) * loss - lambda * (problem.M * phi)).norm() / scale.norm();
        CAPTURE(k, lambda, residual);
        CHECK(residual <= 1e-6); // the tolerance asked for
        // Tolerance: the reported residual is the same sum in another order, apart from round-off 1e-16 of terms of
        // size 1.
        CHECK_THAT(modes.residual[k], WithinAbs(residual, 1e-11));
        // Tolerance: round-off through a dozen rounds.
        CHECK(std::abs((phi.transpose() * (problem.M * phi))(0) - 1.0) < 1e-9);
        // Reference: φᴴ times the equation, imaginary part over real part. Tolerance: the residual.
        CHECK_THAT(phi.dot(loss).real() / phi.dot(real_part).real(), WithinRel(lambda.imag() / lambda.real(), 1e-6));
        Index largest = 0;
        phi.cwiseAbs().maxCoeff(&largest);
        CHECK(phi[largest].real() > 0);
    }
}

/// φᵀMφ off the diagonal: 0 where nothing depends on frequency.
double largest_overlap(const SparseMatrix& M, const MatrixXcd& phi)
{
    const MatrixXcd G = phi.transpose() * (M * phi).eval();
    return (G - MatrixXcd::Identity(G.rows(), G.cols())).cwiseAbs().maxCoeff();
}

constexpr double f_top = 250; // [Hz], upper frequency of the layers below

/// Modulus growing with f^p by a factor of 7 from f_top/10 to f_top, with loss η throughout; invented.
DependentStiffness layer(SparseMatrix K, double eta)
{
    return {std::move(K),
            [eta](double f) { return (std::pow(std::max(f, 1.0) / f_top, std::log10(7.0)) - 1) * Complex(1, eta); }};
}

} // namespace

TEST_CASE("woods of different loss: every mode against the dense solution", "[solver][modes][lossy][reference]")
{
    constexpr int nx = 11, ny = 17, n = 25;
    std::mt19937 random(3);
    std::uniform_real_distribution<double> uniform(0.01, 0.05);
    std::array<double, 6> eta{};
    for (double& e : eta) e = uniform(random);
    const SparseMatrix K = net(nx, ny, one), M = masses(nx * ny);
    const SparseMatrix K_loss = net(nx, ny, [&](double x, double y) {
        return eta[static_cast<std::size_t>(x < 0.4) + 2 * static_cast<std::size_t>(3 * y * 0.999)];
    });
    const LossyProblem problem{K, M, K_loss, {}};
    const EigenResult real = real_modes(K, M, n);

    const ComplexModes modes = solver::complex_modes(problem, real);

    CHECK_FALSE(modes.is_real);
    check_laws(problem, modes);
    CHECK(largest_overlap(M, modes.phi) < 1e-6); // errors of the shapes, as the residual
    const std::vector<Complex> expected = dense_eigenvalues(problem, 0), found = by_real_part(modes);
    for (std::size_t k = 0; k < n; ++k) {
        CAPTURE(k, found[k], expected[k]);
        // Tolerance: a symmetric problem's λ errs with the square of the residual, 1e-12, over the relative gaps, 1e-2.
        CHECK(std::abs(found[k] - expected[k]) < 1e-9 * std::abs(expected[k]));
    }
    // Small losses change λ in second order: each mode stays with its real one.
    for (Index k = 0; k < n; ++k) CHECK_THAT(modes.lambda[k].real(), WithinRel(real.lambda[k], 0.01));
}

TEST_CASE("a pair of equal modes split by loss", "[solver][modes][lossy][reference]")
{
    constexpr int nx = 12, n = 20; // a square: λ_pq = λ_qp
    const SparseMatrix K = net(nx, nx, one), M = masses(nx * nx);
    const bool is_split = GENERATE(true, false);
    // One corner lossy splits a pair along the diagonals; loss with the square's own symmetry leaves it together.
    const SparseMatrix K_loss = net(nx, nx, [&](double x, double y) {
        const bool is_lossy = is_split ? x + 0.8 * y < 0.7 : std::max(std::abs(x - 0.5), std::abs(y - 0.5)) < 0.2;
        return is_lossy ? 0.3 : 0.01;
    });
    const LossyProblem problem{K, M, K_loss, {}};
    const EigenResult real = real_modes(K, M, n);
    REQUIRE_THAT(real.lambda[1], WithinRel(real.lambda[2], 1e-9));

    const ComplexModes modes = solver::complex_modes(problem, real);

    CAPTURE(is_split);
    check_laws(problem, modes);
    CHECK(largest_overlap(M, modes.phi) < 1e-5); // no mode twice; as the residual over the gaps
    const std::vector<Complex> expected = dense_eigenvalues(problem, 0);
    for (std::size_t k = 0; k < n; ++k) {
        const auto distance = [&](Complex lambda) { return std::abs(lambda - expected[k]); };
        const auto nearest = std::min_element(modes.lambda.begin(), modes.lambda.end(),
                                              [&](Complex a, Complex b) { return distance(a) < distance(b); });
        CAPTURE(k, expected[k], *nearest);
        CHECK(distance(*nearest) < 1e-9 * std::abs(expected[k])); // as above
    }
    const double split = std::abs(modes.lambda[1] - modes.lambda[2]) / std::abs(modes.lambda[1]);
    CHECK((is_split ? split > 1e-3 : split < 1e-9));
}

TEST_CASE("a soft layer that stiffens with frequency: every mode at its own", "[solver][modes][lossy][reference]")
{
    constexpr int nx = 7, ny = 11, n = 14;
    const double eta = GENERATE(0.3, 1.0);
    // Every other row of springs is the layer: it holds about half the energy.
    const auto is_layer = [](double x, double y) { return std::fmod(6 * x + 5 * y, 2) < 1; };
    const SparseMatrix K = net(nx, ny, one), M = masses(nx * ny);
    const SparseMatrix film = net(nx, ny, [&](double x, double y) { return is_layer(x, y) ? 1.0 : 0.0; });
    const SparseMatrix K_loss = net(nx, ny, [&](double x, double y) { return is_layer(x, y) ? eta : 0.02; });
    const LossyProblem problem{K, M, K_loss, {layer(film, eta)}};
    const EigenResult real = real_modes(K, M, n);

    const ComplexModes modes = solver::complex_modes(problem, real);

    check_laws(problem, modes);
    const std::vector<Complex> found = by_real_part(modes);
    for (std::size_t k = 0; k < n; ++k) {
        // Reference: the k-th dense eigenvalue at a frequency found by repeating until it is the mode's own.
        double f = to_Hz(real.lambda[static_cast<Index>(k)]);
        Complex expected;
        for (int i = 0; i < 40; ++i) {
            expected = dense_eigenvalues(problem, f)[k];
            const bool is_own = std::abs(to_Hz(expected) - f) < 1e-10 * f;
            f = to_Hz(expected);
            if (is_own) break;
        }
        CAPTURE(eta, k, found[k], expected);
        CHECK(std::abs(found[k] - expected) < 1e-8 * std::abs(expected)); // as above, gaps of 1e-3
    }
}

TEST_CASE("layers may couple unknowns that the stiffness does not", "[solver][modes][lossy]")
{
    constexpr int n_unknowns = 60, n = 8;
    const SparseMatrix K = net(1, n_unknowns, one), M = masses(n_unknowns), none(n_unknowns, n_unknowns);
    // Springs between masses 30 apart.
    std::vector<Eigen::Triplet<double>> entries;
    for (int i = 0; i + 30 < n_unknowns; ++i) {
        for (const auto& [a, b, sign] :
             {std::tuple{i, i, 1.0}, {i + 30, i + 30, 1.0}, {i, i + 30, -1.0}, {i + 30, i, -1.0}}) {
            entries.emplace_back(a, b, 3e5 * sign);
        }
    }
    SparseMatrix far(n_unknowns, n_unknowns);
    far.setFromTriplets(entries.begin(), entries.end());
    const LossyProblem problem{K, M, none, {{far, [](double f) { return Complex(0.2, 0.1) * (f / 100); }}}};
    const ComplexModes modes = solver::complex_modes(problem, real_modes(K, M, n));
    check_laws(problem, modes);
    for (const Complex lambda : modes.lambda) {
        const std::vector<Complex> all = dense_eigenvalues(problem, to_Hz(lambda));
        CAPTURE(lambda);
        CHECK(std::any_of(all.begin(), all.end(),
                          [&](Complex x) { return std::abs(x - lambda) < 1e-9 * std::abs(lambda); })); // as above
    }
}

TEST_CASE("one loss everywhere leaves real shapes", "[solver][modes][lossy]")
{
    constexpr int nx = 6, ny = 9;
    const double eta = GENERATE(0.0, 0.03);
    const SparseMatrix K = net(nx, ny, one), M = masses(nx * ny),
                       K_loss = eta > 0 ? SparseMatrix(eta * K) : SparseMatrix(nx * ny, nx * ny);
    const EigenResult real = real_modes(K, M, 10);
    const ComplexModes modes = solver::complex_modes({K, M, K_loss, {}}, real);
    CHECK(modes.is_real);
    CHECK(modes.n_rounds == 0);
    CHECK(modes.phi.imag().isZero(0));
    for (Index k = 0; k < 10; ++k) {
        // Reference: K(1 + iη) has the eigenvectors of K and 1 + iη times its eigenvalues; exact but for the sum that
        // gives η.
        CHECK_THAT(modes.lambda[k].imag(), WithinAbs(eta * real.lambda[k], 1e-12 * real.lambda[k]));
        CHECK(modes.lambda[k].real() == real.lambda[k]);
        CHECK_THAT(std::abs(modes.phi.col(k).real().dot(real.phi.col(k))), WithinRel(1.0, 1e-12));
    }
}

TEST_CASE("free shell corner with one lossy face: rigid modes untouched", "[solver][modes][lossy]")
{
    const solver::Section section = published::plain_section(published::isotropic(4e9, 0.3, 750), 0.018);
    published::ShellGrid grid(published::nine_nodes(), section, Eigen::Vector3d(1, 1, 1));
    grid.add_block(3, 3, [](double r, double t) { return Eigen::Vector3d(0.4 * r, 0.3 * t, 0); });
    grid.add_block(3, 3, [](double r, double t) { return Eigen::Vector3d(0.4 * r, 0, 0.4 * t); });
    grid.add_block(3, 3, [](double r, double t) { return Eigen::Vector3d(0, 0.3 * r, 0.4 * t); });
    published::ShellModel model = grid.model();
    const solver::SystemMatrices system = published::assemble(model);
    for (std::size_t e = 0; e < model.elements.size(); ++e) model.elements[e].section = e < 9 ? 0 : 1;
    model.sections.assign(2, section);
    model.axes.assign(2, model.axes.front());
    for (const auto& [i, eta] : {std::pair{std::size_t{0}, 0.05}, {std::size_t{1}, 0.01}}) {
        model.sections[i].C *= eta;
        model.sections[i].G12_mean *= eta;
    }
    const SparseMatrix K_loss = published::assemble(model).K;
    const LossyProblem problem{system.K, system.M, K_loss, {}};
    const EigenResult real = solver::lowest_modes(system.K, system.M, {.f_max = 1000});
    REQUIRE(real.lambda.size() > 20);

    const ComplexModes modes = solver::complex_modes(problem, real);

    check_laws(problem, modes, 6);
    CHECK(largest_overlap(system.M, modes.phi) < 1e-5); // as the residual over the gaps
    for (Index k = 0; k < 6; ++k) CHECK(modes.lambda[k] == real.lambda[k]);
    for (Index k = 6; k < modes.lambda.size(); ++k) {
        const double eta = modes.lambda[k].imag() / modes.lambda[k].real();
        CAPTURE(k, eta);
        // The loss factor of a mode lies between those of its parts.
        CHECK(eta > 0.01);
        CHECK(eta < 0.05);
        // Reference: shares of the real shape (Johnson & Kienholz). Tolerance: second order in the loss and the modes'
        // gaps.
        const double first_order = real.phi.col(k).dot(K_loss * real.phi.col(k)) / real.lambda[k];
        CHECK_THAT(eta, WithinRel(first_order, 0.05));
    }
    // The same digits on every run, however the threads fall.
    const ComplexModes again = solver::complex_modes(problem, real);
    CHECK(again.lambda == modes.lambda);
    CHECK(again.phi == modes.phi);
}

TEST_CASE("an ordering is used again", "[solver][modes][eigen]")
{
    const SparseMatrix K = net(8, 9, one), M = masses(72);
    const EigenResult first = real_modes(K, M, 10);
    REQUIRE(first.ordering);
    const solver::EigenOptions options{.f_max = first.shift_used, .nodes_dof = 1, .ordering = first.ordering};
    const EigenResult second = solver::lowest_modes(K, M, options);
    CHECK(second.lambda == first.lambda);
    CHECK(second.ordering == first.ordering);
    CHECK_THROWS_AS(solver::lowest_modes(net(8, 8, one), masses(64), options), DomainError);
}

TEST_CASE("unsound lossy problems are refused", "[solver][modes][lossy][error]")
{
    const SparseMatrix K = net(5, 6, one), M = masses(30), other = net(5, 5, one),
                       lossy = net(5, 6, [](double x, double) { return 0.1 * x; });
    const EigenResult real = real_modes(K, M, 5);
    CHECK_THROWS_AS(solver::complex_modes({K, M, other, {}}, real), DomainError);
    CHECK_THROWS_AS(solver::complex_modes({K, M, lossy, {layer(other, 1)}}, real), DomainError);
    CHECK_THROWS_AS(solver::complex_modes({K, M, lossy, {{K, {}}}}, real), DomainError);
    CHECK_THROWS_AS(solver::complex_modes({K, M, lossy, {}}, real, {.tolerance = 0}), DomainError);
    const auto nothing = [](double) { return Complex(std::nan(""), 0); };
    CHECK_THROWS_AS(solver::complex_modes({K, M, lossy, {{K, nothing}}}, real), SolverError);
    // Stiffness below zero at low frequencies.
    const auto vanishing = [](double f) { return Complex(std::min(f / 200 - 1.5, 0.0), 0); };
    CHECK_THROWS_AS(solver::complex_modes({K, M, lossy, {{K, vanishing}}}, real), SolverError);
}
