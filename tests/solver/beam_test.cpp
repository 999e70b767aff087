// Bars: ribs and rods.

#include "mesh/cabinet/error.h"
#include "solver/structure/shell/assembly.h"
#include "solver/structure/shell/beam.h"
#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using Eigen::Index;
using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::Vector3d;
using Eigen::VectorXd;
using solver::BarSection;
using solver::Section;

namespace {

constexpr double pi = std::numbers::pi;

/// A straight bar along `direction` of n three-node elements, free at both ends.
struct Bar
{
    MatrixXd K, M;
    Eigen::Matrix3Xd X;
};

Bar make_bar(const BarSection& section, double length, int n, const Vector3d& direction, const Vector3d& height,
             const Vector3d& offset = Vector3d::Zero())
{
    Bar bar{MatrixXd::Zero(6 * (2 * n + 1), 6 * (2 * n + 1)), {}, Eigen::Matrix3Xd(3, 2 * n + 1)};
    bar.M = bar.K;
    for (int i = 0; i <= 2 * n; ++i) bar.X.col(i) = i * length / (2 * n) * direction.normalized();
    for (int e = 0; e < n; ++e) {
        const auto m = solver::bar_matrices(section, bar.X.middleCols<3>(2 * e), height, offset);
        bar.K.block<18, 18>(12 * e, 12 * e) += m.K;
        bar.M.block<18, 18>(12 * e, 12 * e) += m.M;
    }
    return bar;
}

/// Frequencies above the six rigid ones [Hz].
VectorXd elastic_Hz(const Bar& bar)
{
    const VectorXd lambda =
        Eigen::GeneralizedSelfAdjointEigenSolver<MatrixXd>(bar.K, bar.M, Eigen::EigenvaluesOnly).eigenvalues();
    return lambda.tail(lambda.size() - 6).cwiseSqrt() / (2 * pi);
}

/// The frequency nearest to a reference.
double nearest(double f_Hz, const VectorXd& found)
{
    Index at = 0;
    (found.array() - f_Hz).abs().minCoeff(&at);
    return found[at];
}

const Vector3d slanted(1, 2, -0.5), up(0, 0.2, 1);

} // namespace

TEST_CASE("free bars ring at the frequencies of Timoshenko's theory", "[solver][shell][beam]")
{
    struct Case
    {
        double length, width, height, E, nu, rho, f_Hz;
    };
    // Reference: roots of the free-free Timoshenko beam, shear factor 5/6, recomputed apart from this program; the
    // formula of
    //   ASTM E1876 (coefficients from memory) gives 1176.739, 5054.385 and 260.455.
    // Tolerance: discretisation of 24 elements, measured 3e-6; the second reference itself is good to its printed
    // digits.
    for (const Case& c : {Case{0.150, 0.020, 0.005, 210e9, 0.29, 7850, 1176.715},
                          Case{0.100, 0.020, 0.010, 70e9, 0.33, 2700, 5053.32}}) {
        const BarSection s = solver::rectangle_bar(c.width, c.height, c.E, c.E / (2 * (1 + c.nu)), c.rho);
        CHECK_THAT(nearest(c.f_Hz, elastic_Hz(make_bar(s, c.length, 24, slanted, up))),
                   Catch::Matchers::WithinRel(c.f_Hz, 2e-5));
    }
}

TEST_CASE("slender free bars: bending both ways, stretching, torsion", "[solver][shell][beam]")
{
    const double L = 1, E = 10e9, G = 0.7e9, rho = 600;
    const BarSection s = solver::rectangle_bar(0.0016, 0.001, E, G, rho);
    const VectorXd f = elastic_Hz(make_bar(s, L, 24, slanted, up));
    for (double I : {s.I_b, s.I_n})
        for (double beta : {4.730040744863, 7.853204624096, 10.995607838002}) {
            // Reference: Euler's beam, roots of cos x cosh x = 1. Tolerance: shear and rotary inertia of a bar of h/L =
            // 1/625, with E/G =
            //   14, take up to 0.02 % off.
            CAPTURE(beta, I);
            const double f_Hz = beta * beta / (2 * pi * L * L) * std::sqrt(E * I / (rho * s.area));
            CHECK_THAT(nearest(f_Hz, f), Catch::Matchers::WithinRel(f_Hz, 5e-4));
        }
    // Reference: c/(2 L), exact. Tolerance: discretisation.
    const double stretching_Hz = std::sqrt(E / rho) / (2 * L),
                 twisting_Hz = std::sqrt(G * s.J / (rho * (s.I_b + s.I_n))) / (2 * L);
    CHECK_THAT(nearest(stretching_Hz, f), Catch::Matchers::WithinRel(stretching_Hz, 1e-5));
    CHECK_THAT(nearest(twisting_Hz, f), Catch::Matchers::WithinRel(twisting_Hz, 1e-5));
}

TEST_CASE("torsion constants", "[solver][shell][beam]")
{
    // Reference: J/(a b³) = 0.1406, 0.1958, 0.2287, 0.2633, 1/3 for a/b = 1, 1.5, 2, 3, ∞ (Timoshenko & Goodier, art.
    // 109, from memory). Tolerance: the one-term formula is 0.2 % off at most.
    for (const auto& [ratio, J] :
         {std::pair{1.0, 0.1406}, {1.5, 0.1958}, {2.0, 0.2287}, {3.0, 0.2633}, {1e6, 1.0 / 3}}) {
        CHECK_THAT(solver::rectangle_bar(ratio, 1, 1, 1, 1).J / ratio, Catch::Matchers::WithinRel(J, 3e-3));
        CHECK_THAT(solver::rectangle_bar(1, ratio, 1, 1, 1).J / ratio, Catch::Matchers::WithinRel(J, 3e-3));
    }
    // Reference: π d⁴/32, exact. Tolerance: round-off.
    CHECK_THAT(solver::round_bar(0.02, 1, 1, 1).J, Catch::Matchers::WithinRel(pi * std::pow(0.02, 4) / 32, 1e-14));
    CHECK_THROWS_AS(solver::round_bar(0, 1, 1, 1), DomainError);
    CHECK_THROWS_AS(solver::rectangle_bar(0.02, -0.01, 1, 1, 1), DomainError);
}

TEST_CASE("an eccentric bar moves rigidly without energy and has its mass where it is", "[solver][shell][beam]")
{
    const BarSection s = solver::rectangle_bar(0.02, 0.04, 10e9, 0.7e9, 600);
    const Vector3d offset(0.01, -0.02, 0.03);
    const Bar bar = make_bar(s, 0.5, 2, slanted, up, offset);
    const Index n = bar.X.cols();
    MatrixXd R = MatrixXd::Zero(6 * n, 6);
    for (Index i = 0; i < n; ++i)
        for (int k = 0; k < 3; ++k) {
            R(6 * i + k, k) = R(6 * i + 3 + k, 3 + k) = 1;
            R.block<3, 1>(6 * i, 3 + k) = Vector3d::Unit(k).cross(bar.X.col(i));
        }
    // Reference: zero. Tolerance: round-off.
    CHECK((bar.K * R).cwiseAbs().maxCoeff() < 1e-12 * bar.K.cwiseAbs().maxCoeff());
    const MatrixXd M = R.transpose() * bar.M * R;
    const double mass = s.rho * s.area * 0.5;
    const Vector3d centre = 0.25 * slanted.normalized() + offset;
    // Reference: m, and m × centre of mass. Tolerance: round-off.
    CHECK_THAT(M(0, 0), Catch::Matchers::WithinRel(mass, 1e-13));
    CHECK_THAT(M(1, 5), Catch::Matchers::WithinRel(mass * centre.x(), 1e-12));
    CHECK_THAT(M(2, 3), Catch::Matchers::WithinRel(mass * centre.y(), 1e-12));
    CHECK_THAT(M(0, 4), Catch::Matchers::WithinRel(mass * centre.z(), 1e-12));
    // No more than six: the seventh eigenvalue is elastic.
    const VectorXd lambda = Eigen::SelfAdjointEigenSolver<MatrixXd>(bar.K).eigenvalues();
    CHECK(lambda[5] < 1e-12 * lambda[lambda.size() - 1]);
    CHECK(lambda[6] > 1e-9 * lambda[lambda.size() - 1]);
}

TEST_CASE("a rib glued on a strip stiffens it as the parallel-axis rule says", "[solver][shell][beam]")
{
    // A cantilever 1 m long, 40 mm wide, 10 mm thick with a rib 15 × 30 mm underneath; ν = 0, so that the strip is a
    // beam.
    const double L = 1, width = 0.04, t = 0.01, w = 0.015, h = 0.03, E = 10e9, G = 5e9;
    const Section plate = published::plain_section(published::orthotropic({E, E, 0, G, G, G, 600}), t);
    const BarSection rib = solver::rectangle_bar(w, h, E, G, 600);
    published::ShellGrid grid(published::nine_nodes(), plate);
    const int n = 20;
    grid.add_block(n, 2, [=](double r, double s) { return Vector3d(L * r, width * (s - 0.5), 0); });
    const auto& model = grid.model();

    std::vector<std::vector<int>> groups;
    for (const auto& element : model.elements) groups.push_back(element.nodes);
    std::vector<std::vector<int>> bars;
    for (int e = 0; e < n; ++e) {
        std::vector<int> nodes;
        for (int k = 0; k <= 2; ++k) nodes.push_back(published::node_near(model, {L * (2 * e + k) / (2 * n), 0, 0}));
        bars.push_back(nodes);
    }
    groups.insert(groups.end(), bars.begin(), bars.end());
    solver::SystemBuilder builder(static_cast<int>(model.nodes.cols()), groups);
    for (const auto& element : model.elements) {
        const auto points =
            solver::strain_points(*element.family, solver::element_nodes(model.nodes, element.nodes), model.axes[0]);
        const auto e = solver::element_matrices(points, plate);
        builder.add(element.nodes, e.K, e.M);
    }
    for (const auto& nodes : bars) {
        const auto m = solver::bar_matrices(rib, solver::element_nodes(model.nodes, nodes), Vector3d::UnitZ(),
                                            {0, 0, -(t + h) / 2});
        builder.add(nodes, m.K, m.M);
    }
    solver::SystemMatrices system = builder.take();
    std::vector<int> held;
    for (int node : published::nodes_where(model, [](const Vector3d& x) { return x.x() < 1e-9; }))
        for (int k = 0; k < 6; ++k) held.push_back(6 * node + k);
    solver::hold(system, held);
    const int tip = published::node_near(model, {L, 0, 0});
    VectorXd f = VectorXd::Zero(system.K.rows());
    f[6 * tip + 2] = 1;
    const double deflection = MatrixXd(system.K).ldlt().solve(f)[6 * tip + 2];

    // Reference: P L³/(3 EI), EI of the whole section about its own centroid, and P L/(GA) with 5/6 for the shear.
    const double A1 = width * t, A2 = w * h, d = (t + h) / 2;
    const double EI = E * (width * t * t * t / 12 + w * h * h * h / 12 + A1 * A2 / (A1 + A2) * d * d);
    const double exact = L * L * L / (3 * EI) + L / (5.0 / 6 * G * (A1 + A2));
    CAPTURE(deflection, exact, deflection / exact - 1);
    // Tolerance: shear lag across the strip and the force's local dent; measured +0.09 %.
    CHECK_THAT(deflection, Catch::Matchers::WithinRel(exact, 2e-3));
    // The two apart would give 3.3 times that: the coupling is what is tested.
    CHECK(deflection < 0.5 * L * L * L / (3 * E * (width * t * t * t / 12 + w * h * h * h / 12)));
}

TEST_CASE("a line that resists only the shear along it", "[solver][shell][beam]")
{
    Matrix3d X;
    X << 0, 0.05, 0.1, 0, 0, 0, 0, 0, 0;
    const double k = 1234, gamma = 1e-3;
    const MatrixXd K = solver::edge_shear(k, X, Vector3d::UnitZ());
    VectorXd slide = VectorXd::Zero(18), rigid = slide;
    for (int i = 0; i < 3; ++i) {
        slide[6 * i + 2] = gamma * X(0, i); // w = γ x without turning
        rigid.segment<3>(6 * i) = Vector3d(0.2, -1, 0.7).cross(X.col(i)) + Vector3d(1, 2, 3);
        rigid.segment<3>(6 * i + 3) = Vector3d(0.2, -1, 0.7);
    }
    // Reference: k γ² L, and nothing for a rigid motion. Tolerance: round-off.
    CHECK_THAT(slide.dot(K * slide), Catch::Matchers::WithinRel(k * gamma * gamma * 0.1, 1e-12));
    CHECK(std::abs(rigid.dot(K * rigid)) < 1e-12 * K.cwiseAbs().maxCoeff());
}
