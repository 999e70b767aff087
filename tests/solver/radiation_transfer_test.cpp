// Transfer rows of the single panels against direct solutions, and their interpolation over frequency.

#include "solver/radiation/modal_radiation.h"
#include "tests/solver/radiated_field.h"
#include "tests/solver/radiation_fixture.h"

#include <catch2/catch.hpp>

#include <complex>
#include <random>

using Catch::Matchers::WithinAbs;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using namespace stillwall;
using solver::BoundaryEquation;
using solver::ExteriorRadiation;
using solver::Points;
using test::Vector3d;
using Complex = std::complex<double>;

namespace {

const Air air{1.2, 343};

Points listeners()
{
    Points points(3, 3);
    points << 0.1, 2.0, -0.5, -1.0, 0.4, 1.5, 0.3, 0.8, 0.1; // in front, aside, behind
    return points;
}

/// Relative, the worst listener, weighted so that it does not depend on the panels: E² = Σ|ΔT_j|²/A_j / Σ|T_j|²/A_j.
/// For shapes of one panel each that is ModalRadiation's error of T, written out.
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
    // Reference: the direct solution of three random velocities. Tolerance 1e-10: the same matrices, transposed;
    // round-off of some hundred unknowns. Free and over a floor, below and above the switch to the combined equation.
    std::mt19937 random(7);
    std::normal_distribution<double> normal;
    const auto surface = test::box({0.2, 0.3, 0.4}, {3, 5, 6});
    for (const bool has_floor : {false, true}) {
        solver::RadiationSetting setting{.air = air, .plane = {}};
        if (has_floor) setting.plane = solver::RigidPlane{{0, 0, -0.1}, {0, 0, 1}};
        const ExteriorRadiation radiation(surface, setting);
        const MatrixXcd v =
            MatrixXcd::NullaryExpr(surface.size(), 3, [&] { return Complex(normal(random), normal(random)); });
        for (const double frequency : {50.0, 700.0, 1500.0}) {
            const auto solved = radiation.at(frequency);
            const MatrixXcd direct =
                test::pressure_at(listeners(), surface, setting, frequency, v, solved.surface_pressure(v));
            const MatrixXcd by_rows = solved.transfer_to(listeners()) * v;
            CAPTURE(has_floor, frequency, (by_rows - direct).norm() / direct.norm());
            CHECK_THAT((by_rows - direct).norm() / direct.norm(), WithinAbs(0, 1e-10));
        }
    }
}

TEST_CASE("transfer rows over a band: error within its own estimate", "[solver][radiation]")
{
    // Each panel a shape of its own, none of them loaded. Reference: rows solved directly at random frequencies, by the
    // equation used inside: plain below kr = 0.8 π. Claim: the true error is below the estimate everywhere, and the
    // estimate below the tolerance asked for. Tolerance at its own frequencies: round-off.
    const Vector3d size(0.2, 0.3, 0.4);
    const auto surface = test::box(size, {4, 6, 8});
    const solver::RadiatingLevel level{surface, MatrixXd::Identity(surface.size(), surface.size()), 2000};
    const solver::ModalBand band{.f_low = 20, .f_high = 2000, .tolerance = 2e-3, .n_loaded = 0};
    const solver::ModalRadiation rows({level}, {.air = air, .plane = {}}, listeners(), band);
    const double f_change = 0.4 * air.sound_speed / std::cbrt(size.prod() * 3 / (4 * std::numbers::pi));
    const ExteriorRadiation plain(surface, {.air = air, .plane = {}, .equation = BoundaryEquation::plain});
    const ExteriorRadiation combined(surface, {.air = air, .plane = {}, .equation = BoundaryEquation::fully_combined});
    const VectorXd area = areas(surface);
    const auto error_at = [&](double f) {
        return row_error(rows.transfer(f), (f < f_change ? plain : combined).at(f).transfer_to(listeners()), area);
    };
    CAPTURE(rows.frequencies(), rows.error_estimate());
    CHECK(rows.error_estimate() <= band.tolerance);
    CHECK(rows.frequencies().size() < 80); // 160 steps of 1/24 octave lie in the band
    std::mt19937 random(11);
    std::uniform_real_distribution<double> uniform(std::log(20.0), std::log(2000.0));
    for (int i = 0; i < 25; ++i) {
        const double f = std::exp(uniform(random)), error = error_at(f);
        CAPTURE(f, error);
        CHECK(error <= rows.error_estimate());
    }
    for (const double f : {20.0, rows.frequencies()[3], 2000.0}) {
        const double error = error_at(f);
        CAPTURE(f, error);
        CHECK_THAT(error, WithinAbs(0, 1e-12));
    }
}
