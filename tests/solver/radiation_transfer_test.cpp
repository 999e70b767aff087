// Transfer rows against direct solutions, and their interpolation over frequency.

#include "mesh/core/error.h"
#include "solver/radiation/transfer_table.h"
#include "tests/solver/radiation_fixture.h"

#include <catch2/catch.hpp>

#include <complex>
#include <random>

using Catch::Matchers::WithinAbs;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;
using namespace stillwall;
using solver::ExteriorRadiation;
using solver::Points;
using Complex = std::complex<double>;

namespace {

const solver::Air air{1.2, 343};

Points listeners()
{
    Points points(3, 3);
    points << 0.1, 2.0, -0.5, -1.0, 0.4, 1.5, 0.3, 0.8, 0.1; // in front, aside, behind
    return points;
}

/// E as defined at TransferTable, written out.
double row_error(const MatrixXcd& rows, const MatrixXcd& exact, const VectorXd& area)
{
    double worst = 0;
    for (Index i = 0; i < rows.rows(); ++i) {
        double miss = 0, whole = 0;
        for (Index k = 0; k < rows.cols(); ++k) {
            miss += std::norm(rows(i, k) - exact(i, k)) / area[k];
            whole += std::norm(exact(i, k)) / area[k];
        }
        worst = std::max(worst, std::sqrt(miss / whole));
    }
    return worst;
}

} // namespace

TEST_CASE("transfer rows give what the direct solution gives", "[solver][radiation]")
{
    // Reference: the direct solution of three random velocities. Tolerance 1e-10: the same matrices, transposed; round-off of
    // some hundred unknowns. Free and over a floor, below and above the switch to the combined equation.
    std::mt19937 random(7);
    std::normal_distribution<double> normal;
    const auto surface = test::box({0.2, 0.3, 0.4}, {3, 5, 6});
    for (const bool has_floor : {false, true}) {
        solver::RadiationSetting setting{.air = air, .plane = {}};
        if (has_floor) setting.plane = solver::RigidPlane{{0, 0, -0.1}, {0, 0, 1}};
        const ExteriorRadiation radiation(surface, setting);
        const MatrixXcd v = MatrixXcd::NullaryExpr(surface.size(), 3, [&] { return Complex(normal(random), normal(random)); });
        for (const double frequency : {50.0, 700.0, 1500.0}) {
            const auto solved = radiation.at(frequency);
            const MatrixXcd direct = solved.pressure_at(listeners(), v, solved.surface_pressure(v));
            const MatrixXcd by_rows = solved.transfer_to(listeners()) * v;
            CAPTURE(has_floor, frequency, (by_rows - direct).norm() / direct.norm());
            CHECK_THAT((by_rows - direct).norm() / direct.norm(), WithinAbs(0, 1e-10));
        }
    }
}

TEST_CASE("transfer table: error within its own estimate", "[solver][radiation]")
{
    // Reference: rows solved directly at random frequencies. Claim: the true error is below the estimate everywhere, and below
    // the tolerance; the estimate itself is half of what was
    // missed at the midpoint before it was added.
    const auto surface = test::box({0.2, 0.3, 0.4}, {4, 6, 8});
    const ExteriorRadiation radiation(surface, {.air = air, .plane = {}});
    const solver::TransferBand band{.f_low = 20, .f_high = 2000, .tolerance = 2e-3, .first_step = 150};
    const solver::TransferTable table(radiation, listeners(), band);
    const VectorXd area = areas(surface);
    CAPTURE(table.frequencies().size());
    CHECK(table.frequencies().size() < 80); // 160 steps of 1/24 octave lie in the band
    std::mt19937 random(11);
    std::uniform_real_distribution<double> uniform(std::log(20.0), std::log(2000.0));
    for (int i = 0; i < 25; ++i) {
        const double f = std::exp(uniform(random));
        const double error = row_error(table.rows(f), radiation.at(f).transfer_to(listeners()), area);
        CAPTURE(f, error, table.error_estimate(f));
        CHECK(error <= table.error_estimate(f));
        CHECK(table.error_estimate(f) <= band.tolerance);
    }
    for (const double f : {20.0, table.frequencies()[3], 2000.0}) { // at its own frequencies: round-off
        const double error = row_error(table.rows(f), radiation.at(f).transfer_to(listeners()), area);
        CAPTURE(f, error);
        CHECK_THAT(error, WithinAbs(0, 1e-12));
    }
}

TEST_CASE("transfer table: what it refuses", "[solver][radiation]")
{
    const ExteriorRadiation radiation(test::box({0.2, 0.3, 0.4}, {2, 3, 4}));
    CHECK_THROWS_AS(solver::TransferTable(radiation, listeners(), {.f_low = 0}), DomainError);
    CHECK_THROWS_AS(solver::TransferTable(radiation, listeners(), {.f_low = 200, .f_high = 100}), DomainError);
    const solver::TransferBand too_exact{.f_high = 500, .tolerance = 1e-14, .max_solves = 12};
    CHECK_THROWS_AS(solver::TransferTable(radiation, listeners(), too_exact), SolverError);
    const solver::TransferTable table(radiation, listeners(), {.f_low = 50, .f_high = 300});
    CHECK_THROWS_AS(table.rows(49), DomainError);
    CHECK_THROWS_AS(table.error_estimate(301), DomainError);
}
