// Laws that a laminate's section obeys whatever its plies. Numbers from outside: tests/published/sections.cpp.

#include "mesh/cabinet/error.h"
#include "solver/structure/section/section.h"
#include "tests/published/checks.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using published::ply_section;
using solver::Matrix8d;
using solver::Section;

namespace {

constexpr double pi = std::numbers::pi;

Material birch_ply()
{
    Material m = published::orthotropic({12e9, 0.6e9, 0.3, 0.7e9, 0.7e9, 0.15e9, 680});
    m.eta.value = 0.01;
    m.eta2.value = 0.03;
    return m;
}

double relative(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b)
{
    return (a - b).norm() / b.norm();
}

// Strains seen from axes turned by an angle, from the definition: e' = R e Rᵀ with R the rotation, shear doubled.
Matrix8d turned_strains(double angle)
{
    Eigen::Matrix2d R;
    R << std::cos(angle), std::sin(angle), -std::sin(angle), std::cos(angle);
    Matrix8d T = Matrix8d::Zero();
    for (int k = 0; k < 3; ++k) {
        Eigen::Matrix2d e = Eigen::Matrix2d::Zero();
        if (k < 2)
            e(k, k) = 1;
        else
            e << 0, 0.5, 0.5, 0;
        const Eigen::Matrix2d f = R * e * R.transpose();
        T.block<3, 1>(0, k) = T.block<3, 1>(3, 3 + k) = Eigen::Vector3d(f(0, 0), f(1, 1), 2 * f(0, 1));
    }
    T.block<2, 2>(6, 6) = R;
    return T;
}

const std::vector<std::vector<double>> layups = {
    {0}, {0, 90}, {0, 90, 0}, {30}, {0, 30, -45}, {45, -45, 45, -45}, {0, 90, 0, 90, 0, 90, 0}};

} // namespace

TEST_CASE("a section's stiffness is symmetric and positive definite", "[solver][section]")
{
    for (const auto& layup : layups) {
        const Section s = ply_section(birch_ply(), layup, 0.012);
        // Reference: an elastic energy. Tolerance: round-off of sums of a few terms.
        CHECK(relative(s.C.transpose(), s.C) < 1e-14);
        CHECK(relative(s.C_loss.transpose(), s.C_loss) < 1e-14);
        // Scaled by the thickness, so that membrane, bending and shear are comparable.
        Matrix8d scale = Matrix8d::Identity();
        scale.diagonal().segment<3>(3).setConstant(1 / s.thickness);
        const Eigen::SelfAdjointEigenSolver<Matrix8d> stiffness(scale * s.C * scale), loss(scale * s.C_loss * scale);
        CHECK(stiffness.eigenvalues().minCoeff() > 1e-4 * stiffness.eigenvalues().maxCoeff());
        CHECK(loss.eigenvalues().minCoeff() > 0);
        // The lost share of any strain's energy lies between the smallest and the largest loss factor. Tolerance: the
        // Poisson
        //   term, lost by the geometric mean of both, reaches 0.12 % beyond.
        const Eigen::GeneralizedSelfAdjointEigenSolver<Matrix8d> eta(s.C_loss, s.C);
        CHECK(eta.eigenvalues().minCoeff() > 0.01 * 0.998);
        CHECK(eta.eigenvalues().maxCoeff() < 0.03 * 1.002);
    }
}

TEST_CASE("turning a board turns its properties and nothing else", "[solver][section]")
{
    const std::vector<Material> materials = {birch_ply()};
    for (const auto& angles : layups)
        for (double grain : {0.2, pi / 6, pi / 2, 2.0}) {
            Layup layup;
            for (double angle : angles) layup.plies.push_back({0, 0.003, angle * pi / 180});
            const Section straight = solver::make_section(layup, materials, 0),
                          turned = solver::make_section(layup, materials, grain);
            const Matrix8d T = turned_strains(grain);
            // Reference: C' = Tᵀ C T. Tolerance: round-off.
            CHECK(relative(turned.C, T.transpose() * straight.C * T) < 1e-13);
            CHECK(relative(turned.C_loss, T.transpose() * straight.C_loss * T) < 1e-13);
            CHECK(turned.mass == straight.mass);
        }
}

TEST_CASE("a ply's angle leaves the plane invariants alone", "[solver][section]")
{
    const Section s0 = ply_section(birch_ply(), {0}, 0.012);
    for (double angle : {10.0, 30.0, 45.0, 77.0}) {
        const Section s = ply_section(birch_ply(), {angle}, 0.012);
        for (int at : {0, 3}) {
            const auto invariant_1 = [&](const Section& x) {
                return x.C(at, at) + x.C(at + 1, at + 1) + 2 * x.C(at, at + 1);
            };
            const auto invariant_2 = [&](const Section& x) { return x.C(at + 2, at + 2) - x.C(at, at + 1); };
            // Reference: Q11 + Q22 + 2 Q12 and Q66 − Q12 do not turn (Tsai & Hahn, ch. 3). Tolerance: round-off.
            CHECK_THAT(invariant_1(s), Catch::Matchers::WithinRel(invariant_1(s0), 1e-13));
            CHECK_THAT(invariant_2(s), Catch::Matchers::WithinRel(invariant_2(s0), 1e-12));
        }
        CHECK_THAT(s.C(6, 6) + s.C(7, 7), Catch::Matchers::WithinRel(s0.C(6, 6) + s0.C(7, 7), 1e-13));
        CHECK_THAT(s.C.block(6, 6, 2, 2).determinant(),
                   Catch::Matchers::WithinRel(s0.C.block(6, 6, 2, 2).determinant(), 1e-12));
    }
}

TEST_CASE("a homogeneous section has the classical moments", "[solver][section]")
{
    const double E = 4e9, nu = 0.3, rho = 750, t = 0.018, D = E * t * t * t / (12 * (1 - nu * nu));
    const Section s = published::plain_section(published::isotropic(E, nu, rho), t);
    // Reference: closed form. Tolerance: round-off.
    CHECK_THAT(s.C(3, 3), Catch::Matchers::WithinRel(D, 1e-14));
    CHECK_THAT(s.C(3, 4), Catch::Matchers::WithinRel(nu * D, 1e-14));
    CHECK_THAT(s.C(5, 5), Catch::Matchers::WithinRel((1 - nu) / 2 * D, 1e-14));
    CHECK_THAT(s.C(0, 0), Catch::Matchers::WithinRel(12 * D / (t * t), 1e-14));
    CHECK_THAT(s.C(6, 6), Catch::Matchers::WithinRel(5.0 / 6 * E / (2 * (1 + nu)) * t, 1e-13));
    CHECK(s.C.block(0, 3, 3, 3).norm() < 1e-12 * s.C(0, 0) * t);
    CHECK_THAT(s.mass, Catch::Matchers::WithinRel(rho * t, 1e-14));
    CHECK(std::abs(s.mass_moment) < 1e-14 * rho * t * t);
    CHECK_THAT(s.mass_inertia, Catch::Matchers::WithinRel(rho * t * t * t / 12, 1e-14));
}

TEST_CASE("cutting a layer in two changes nothing; turning a lay-up over flips the coupling", "[solver][section]")
{
    // Reference: the law itself, the uncut lay-up's section.
    const std::vector<Material> materials = {birch_ply(), published::isotropic(2e6, 0.45, 1500)};
    const Layup whole{{{0, 0.009, 0}, {1, 0.002, 0}, {0, 0.004, pi / 2}}, ""};
    const Layup cut{
        {{0, 0.004, 0}, {0, 0.005, 0}, {1, 0.0015, 0}, {1, 0.0005, 0}, {0, 0.001, pi / 2}, {0, 0.003, pi / 2}}, ""};
    const Layup over{{{0, 0.004, pi / 2}, {1, 0.002, 0}, {0, 0.009, 0}}, ""};
    const Section a = solver::make_section(whole, materials, 0.3), b = solver::make_section(cut, materials, 0.3);
    const Section c = solver::make_section(over, materials, 0.3);
    Matrix8d flip = Matrix8d::Identity();
    flip.diagonal().segment<3>(3).setConstant(-1);
    // Tolerance: round-off. The shear stiffness of the soft layer is a quotient of sums that nearly cancel.
    CHECK(relative(b.C, a.C) < 1e-12);
    CHECK_THAT(b.mass_moment, Catch::Matchers::WithinRel(a.mass_moment, 1e-12));
    CHECK(relative(c.C, flip * a.C * flip) < 1e-12);
    CHECK_THAT(c.mass_moment, Catch::Matchers::WithinRel(-a.mass_moment, 1e-12));
}

TEST_CASE("impossible plies are refused", "[solver][section]")
{
    Material m = birch_ply();
    CHECK_THROWS_AS(solver::make_section({}, {m}, 0), DomainError);
    CHECK_THROWS_AS(ply_section(m, {0}, 0), DomainError);
    m.nu12.value = 5; // ν12 ν21 > 1
    CHECK_THROWS_AS(ply_section(m, {0}, 0.01), DomainError);
    m = birch_ply();
    m.G23.value = 0;
    CHECK_THROWS_AS(ply_section(m, {0}, 0.01), DomainError);
}
