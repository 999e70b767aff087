// Elements of the air, and its modes between rigid walls.
#include "mesh/cabinet/air.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/error.h"
#include "mesh/gmsh/air_mesher.h"
#include "solver/air/acoustic.h"
#include "tests/mesh/mesher_cabinets.h"
#include "tests/solver/whole_air.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <vector>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double c_ref = 343; // [m/s] of the references

/// Frequencies above the uniform pressure of each chamber [Hz].
std::vector<double> frequencies(const CabinetPlan& plan, double element_size, double f_max)
{
    const AirMesh mesh = mesh::mesh_air(build_cabinet(plan), {element_size});
    const EigenResult modes = air_modes(test::assemble_air(mesh, c_ref), f_max);
    CHECK(modes.is_proved);
    std::vector<double> f_Hz;
    for (Eigen::Index i = mesh.n_chambers; i < modes.lambda.size(); ++i)
        f_Hz.push_back(std::sqrt(modes.lambda[i]) / (2 * std::numbers::pi));
    return f_Hz;
}

double worst_difference(const std::vector<double>& f_Hz, const std::vector<double>& reference_Hz)
{
    REQUIRE(f_Hz.size() >= reference_Hz.size());
    double worst = 0;
    for (std::size_t i = 0; i < reference_Hz.size(); ++i) {
        CAPTURE(i, f_Hz[i], reference_Hz[i]);
        const double difference = f_Hz[i] / reference_Hz[i] - 1;
        CHECK(difference > -3e-4); // from above: conforming elements; below only by the references' own error
        worst = std::max(worst, std::abs(difference));
    }
    return worst;
}

/// Box A, 204 × 264 × 344 mm inside, rigid walls, c = 343 m/s: exact, (c/2) √((i/Lx)² + (j/Ly)² + (k/Lz)²).
const std::vector<double> box_A_Hz = {498.54651162790697, 649.6212121212121,  818.875047546442,   840.6862745098039,
                                      977.3955373366139,  997.0930232558139,  1062.4317066931908, 1173.5884098112765,
                                      1190.0429472347846, 1299.2424242424242, 1304.2039369571742, 1391.6103984979727};

/// Box C (shelf with a window, holes closed flush inside), c = 343 m/s. Own computation: quadratic tetrahedra, meshes
/// graded towards the edges, extrapolated (DOLFINx 0.5.2 with SLEPc and MUMPS); estimated error 0.025 % in the first,
/// 0.007 % in the others. Not published.
const std::vector<double> box_C_Hz = {360.04,   670.054,  723.027,  847.655, 885.522,  1000.154,
                                      1075.568, 1092.106, 1198.603, 1232.0,  1306.336, 1329.981};

/// A straight tetrahedron of no special shape, and the same with mid-edges moved.
Eigen::Matrix<double, 3, 10> tetrahedron(double bend)
{
    Eigen::Matrix<double, 3, 10> X;
    X.leftCols<4>() << 0, 0.9, 0.2, 0.1, 0, 0.1, 1.1, 0.3, 0, -0.1, 0.2, 0.8;
    for (std::size_t e = 0; e < 6; ++e) {
        const auto [i, j] = tet10_edges[e];
        const Vector3d aside(std::sin(3.0 * static_cast<double>(e)), 1, -1);
        X.col(4 + static_cast<int>(e)) = (X.col(i) + X.col(j)) / 2 + bend * aside;
    }
    return X;
}

double factorial(int n)
{
    return n <= 1 ? 1 : n * factorial(n - 1);
}

} // namespace

TEST_CASE("the tetrahedron's rule integrates every monomial to degree 5", "[mesh][air]")
{
    for (int a = 0; a <= 5; ++a) {
        for (int b = 0; a + b <= 5; ++b) {
            for (int c = 0; a + b + c <= 5; ++c) {
                double sum = 0;
                for (const auto& [r, weight] : tet_rule_5())
                    sum += weight * std::pow(r.x(), a) * std::pow(r.y(), b) * std::pow(r.z(), c);
                // Reference: a! b! c! / (a + b + c + 3)!, the beta integral over the unit tetrahedron. Tolerance:
                // points and weights to 15 digits.
                CAPTURE(a, b, c);
                const double exact = factorial(a) * factorial(b) * factorial(c) / factorial(a + b + c + 3);
                CHECK_THAT(sum, WithinRel(exact, 1e-12));
            }
        }
    }
}

TEST_CASE("shape functions are 1 at their node, 0 at the others, and their gradients are theirs", "[mesh][air]")
{
    // Reference: what a shape function is; gradients from differences of the values, exact for quadratics at any step.
    // Tolerance: round-off, of the differences over a step of 1e-3.
    std::array<Vector3d, 10> node{Vector3d::Zero(), Vector3d::UnitX(), Vector3d::UnitY(), Vector3d::UnitZ()};
    for (std::size_t e = 0; e < 6; ++e) node[4 + e] = (node[tet10_edges[e][0]] + node[tet10_edges[e][1]]) / 2;
    for (int a = 0; a < 10; ++a)
        CHECK((tet10_values(node[static_cast<std::size_t>(a)]) - Tet10Values::Unit(a)).norm() < 1e-14);
    const Vector3d r(0.2, 0.15, 0.4);
    const double step = 1e-3;
    for (int k = 0; k < 3; ++k) {
        const Vector3d d = step * Vector3d::Unit(k);
        CHECK((tet10_gradients(r).col(k) - (tet10_values(r + d) - tet10_values(r - d)) / (2 * step)).norm() < 1e-11);
    }
}

TEST_CASE("uniform pressure costs nothing and linear pressure its gradient", "[solver][air]")
{
    // Reference: ∫ ∇1·∇p = 0, ∫ 1/c² = V/c², ∫ |g|² = V g², also on a curved element, since x, y, z themselves are
    // among its functions. Tolerance: round-off of sums over the integration points.
    const double bend = GENERATE(0.0, 0.03);
    const auto X = tetrahedron(bend);
    const AirElement element = air_element(X, 2.0);
    const Tet10Values one = Tet10Values::Ones();
    CHECK((element.H - element.H.transpose()).norm() < 1e-14);
    CHECK((element.H * one).norm() < 1e-13);
    AirMesh mesh;
    mesh.nodes = X;
    mesh.tets = {{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}};
    const double V = volume(mesh);
    CHECK_THAT(one.dot(element.Q * one), WithinRel(V / 4, 1e-12)); // V/c², c = 2
    const Vector3d g(0.3, -1.2, 0.7);
    const Tet10Values p = X.transpose() * g; // isoparametric: exact on curved elements too
    CHECK_THAT(p.dot(element.H * p), WithinRel(V * g.squaredNorm(), 1e-12));
}

TEST_CASE("quadratic pressure in a box is integrated exactly", "[solver][air]")
{
    // Reference: p = x² about the inner lower corner: ∫|∇p|² = 4/3 Lx³ Ly Lz, ∫p² = Lx⁵/5 Ly Lz. Tolerance:
    // round-off, of the mesher's places on the walls and of sums over all elements.
    const double Lx = 0.204, Ly = 0.264, Lz = 0.344, wall = 0.018;
    const AirMesh mesh = mesh::mesh_air(build_cabinet(box(0.24, 0.30, 0.38, wall)), {0.1});
    const AirMatrices m = test::assemble_air(mesh, c_ref);
    const Eigen::VectorXd p = (mesh.nodes.row(0).transpose().array() - wall).square();
    CHECK_THAT(p.dot(m.H * p), WithinRel(4.0 / 3 * Lx * Lx * Lx * Ly * Lz, 1e-10));
    CHECK_THAT(p.dot(m.Q * p) * c_ref * c_ref, WithinRel(std::pow(Lx, 5) / 5 * Ly * Lz, 1e-10));
    CHECK_THAT(m.Q.sum(), WithinRel(Lx * Ly * Lz / (c_ref * c_ref), 1e-10));
}

TEST_CASE("a folded element is refused", "[solver][air]")
{
    auto X = tetrahedron(0);
    X.col(1).swap(X.col(2));
    CHECK_THROWS_AS(air_element(X, c_ref), MeshError);
}

TEST_CASE("speed of sound and density follow the temperature", "[solver][air]")
{
    // Reference: by hand, √(1 + 20/273.15) = 1.035964, times 331.3; 101 325 / (287.05 · 293.15). Tolerance: their
    // digits.
    CHECK_THAT(air_at(20).sound_speed, WithinAbs(343.215, 1e-3));
    CHECK_THAT(air_at(20).density, WithinAbs(1.2041, 1e-4));
    CHECK_THAT(air_at(0).sound_speed, WithinAbs(331.3, 1e-12));
    CHECK_THROWS_AS(air_at(-60), DomainError);
    CHECK_THROWS_AS(air_at(std::nan("")), DomainError);
}

TEST_CASE("modes of a rectangular room", "[solver][air][reference]")
{
    // Reference: 0.4 × 0.3 × 0.25 m, c = 343 m/s, (c/2) √((l/Lx)² + (m/Ly)² + (n/Lz)²), any textbook.
    const std::vector<double> exact_Hz = {428.75, 571.6667, 686.0,    714.5833,  808.9639,
                                          857.5,  892.9719, 990.5682, 1030.5867, 1098.1358};
    // Tolerance 0.1 %: 15 nodes per wavelength at the highest, measured 0.04 % there.
    CHECK(worst_difference(frequencies(box(0.436, 0.336, 0.286, 0.018), 0.04, 1150), exact_Hz) < 1e-3);
}

TEST_CASE("air of box A, rigid walls, and its convergence", "[solver][air][reference]")
{
    const CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    // Reference: box_A_Hz. Tolerance: measured 0.59, 0.23 and 0.07 % with 6, 8 and 12 nodes per wavelength at 1500 Hz.
    const double coarse = worst_difference(frequencies(plan, 0.076, 1420), box_A_Hz);
    const double middle = worst_difference(frequencies(plan, 0.057, 1420), box_A_Hz);
    const double fine = worst_difference(frequencies(plan, 0.038, 1420), box_A_Hz);
    CHECK(coarse < 8e-3);
    CHECK(middle < 3e-3);
    CHECK(fine < 1e-3);
    CHECK(coarse / fine > 6); // quadratic elements: h⁴ in frequency, 16 on a regular mesh; measured 9
}

TEST_CASE("air of box C: a shelf with a window", "[solver][air][reference]")
{
    // Reference: box_C_Hz.
    // Tolerance 0.5 %: the least mode hangs on the window's mass of air, where the velocity is singular at the edges;
    // measured 0.37 % there, at most 0.15 % elsewhere.
    CHECK(worst_difference(frequencies(box_with_shelf(), 0.057, 1400), box_C_Hz) < 5e-3);
}

TEST_CASE("each closed chamber has its uniform pressure", "[solver][air]")
{
    // Reference: a chamber's uniform pressure has no stiffness, λ = 0. Tolerance: round-off of the factorised, shifted
    // stiffness.
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    plan.braces = {shelf("partition", 0.2, 0.018)};
    const AirMesh mesh = mesh::mesh_air(build_cabinet(plan), {0.08});
    REQUIRE(mesh.n_chambers == 2);
    const EigenResult modes = air_modes(test::assemble_air(mesh, c_ref), 1000);
    REQUIRE(modes.lambda.size() > 2);
    const double lowest = std::pow(2 * std::numbers::pi * 600, 2); // the first true mode lies higher
    CHECK(std::abs(modes.lambda[1]) < 1e-9 * lowest);
    CHECK(modes.lambda[2] > lowest);
    CHECK(modes.is_proved);
}
