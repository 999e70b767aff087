// Modal radiation over a band against direct solutions and the laws of low frequencies.

#include "mesh/cabinet/error.h"
#include "solver/radiation/modal_radiation.h"
#include "tests/solver/modal_radiation_fixture.h"
#include "tests/solver/radiated_field.h"

#include <catch2/catch.hpp>

#include <random>

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using namespace stillwall;
using solver::ExteriorRadiation;
using solver::ModalRadiation;
using solver::Points;
using solver::RadiatingLevel;
using Complex = std::complex<double>;
using test::Vector3d;

namespace {

constexpr double pi = std::numbers::pi;
constexpr Complex j(0, 1);
const Air air{1.2, 343};

Points listeners()
{
    Points points(3, 2);
    points << 2.5, 0.8, 0.19, 1.9, 0.15, 1.2; // in front, aside
    return points;
}

/// The errors as defined at ModalRadiation, written out, and that of the power of one motion.
struct Errors
{
    double Z, T, power, asymmetry;
};

Errors errors(const ModalRadiation& modal, const RadiatingLevel& level, const solver::RadiationSetting& setting,
              double frequency)
{
    const auto solved = ExteriorRadiation(level.surface, setting).at(frequency);
    const MatrixXcd S = level.shapes.cast<Complex>(), p = solved.surface_pressure(S);
    const VectorXd A = areas(level.surface);
    const MatrixXcd one_sided = S.transpose() * A.asDiagonal() * p, Z = 0.5 * (one_sided + one_sided.transpose());
    const VectorXd unit = Z.diagonal().cwiseAbs().cwiseSqrt().cwiseInverse();
    const auto scaled = [&](const MatrixXcd& X) -> MatrixXcd { return unit.asDiagonal() * X * unit.asDiagonal(); };
    Errors e{};
    e.asymmetry = scaled(one_sided - one_sided.transpose()).norm() / scaled(Z).norm();
    e.Z = scaled(modal.impedance(frequency) - Z).norm() / scaled(Z).norm();
    const MatrixXcd T = test::pressure_at(listeners(), level.surface, setting, frequency, S, p),
                    miss = modal.transfer(frequency) - T;
    const VectorXd size = (level.shapes.cwiseAbs2().transpose() * A).cwiseSqrt().cwiseInverse();
    for (Index i = 0; i < T.rows(); ++i)
        e.T = std::max(e.T, (miss.row(i) * size.asDiagonal()).norm() / (T.row(i) * size.asDiagonal()).norm());
    std::mt19937 random(5);
    std::normal_distribution<double> normal;
    // Shapes in phase: out of phase the part of Z that is not symmetric would give a false power, jX v_i* v_j, to
    // the sum over the surface.
    const VectorXd v = VectorXd::NullaryExpr(S.cols(), [&] { return normal(random); });
    const MatrixXcd motion = S * v;
    const double W = test::radiated_power(level.surface, motion, p * v)[0];
    e.power = 0.5 * v.dot(modal.impedance(frequency).real() * v) / W - 1;
    return e;
}

/// One level of the shapes "all sides outward" and "moving along z".
RadiatingLevel breathing_and_moving(const solver::PanelSurface& surface, double f_top)
{
    RadiatingLevel level{surface, MatrixXd::Ones(surface.size(), 2), f_top};
    for (Index i = 0; i < surface.size(); ++i) level.shapes(i, 1) = surface.panels[i].normal.z();
    return level;
}

} // namespace

TEST_CASE("modal radiation: error within its own estimate", "[solver][radiation]")
{
    // Reference: direct solutions of `combined` at frequencies that are no nodes, where its equation is the one used
    // inside (plain below 473 Hz, α = j/k above 946 Hz); 1063 and 1427 Hz are resonances of the inside. Free, and over
    // a floor 0.4 m below, where the image doubles the volume (so plain to 375 Hz and j/k from 750 Hz). Claim: the true
    // error is below the estimate, the estimate below the tolerance. Z is made symmetric by up to the panels' error: 2
    // % with panels of 54 mm at 1 kHz; 3 % as head-room. Tolerance: that asked of the interpolation, 2 %, also for the
    // power of one motion: Re Z may err by more than |Z| does where it is small.
    const std::vector<RadiatingLevel> levels{test::cabinet_level({4, 7, 6}, 2, 2, 950),
                                             test::cabinet_level({6, 11, 9}, 2, 2, 1500)};
    for (const bool has_floor : {false, true}) {
        solver::RadiationSetting setting{.air = air, .plane = {}};
        if (has_floor) setting.plane = solver::RigidPlane{{0, 0, -0.4}, {0, 0, 1}};
        double last = 0;
        const solver::ModalBand band{.f_low = 20, .f_high = 1500, .tolerance = 2e-2, .progress = [&](double done) {
                                         CHECK(done >= last);
                                         last = done;
                                     }};
        const ModalRadiation modal(levels, setting, listeners(), band);
        CHECK_THAT(last, WithinAbs(1, 1e-12));
        CAPTURE(has_floor, modal.frequencies(), modal.error_estimate());
        CHECK(modal.frequencies().size() <= (has_floor ? 45 : 25)); // measured 23 and 36
        CHECK(modal.error_estimate() <= band.tolerance);
        for (const double f : {20.0, 33.3, 77.0, 170.0, 290.0, 351.0, 948.0, 1003.0, 1063.0, 1246.0, 1427.0, 1499.0}) {
            const Errors e = errors(modal, levels[f > 950 ? 1 : 0], setting, f);
            CAPTURE(f, e.Z, e.T, e.power, e.asymmetry);
            CHECK(e.Z <= modal.error_estimate());
            CHECK(e.T <= modal.error_estimate());
            CHECK_THAT(e.power, WithinAbs(0, band.tolerance));
            CHECK(e.asymmetry < 0.03);
        }
    }
}

TEST_CASE("modal radiation: a smaller tolerance takes more solves and errs less", "[solver][radiation]")
{
    // Reference: direct solutions at frequencies that are no nodes. Tolerance: the one that was asked for.
    const std::vector<RadiatingLevel> levels{test::cabinet_level({4, 7, 6}, 2, 1, 1000)};
    const solver::RadiationSetting setting{.air = air, .plane = {}};
    const ModalRadiation rough(levels, setting, listeners(), {.f_high = 1000, .tolerance = 5e-2});
    const ModalRadiation fine(levels, setting, listeners(), {.f_high = 1000, .tolerance = 1e-4});
    CHECK(rough.frequencies().size() < fine.frequencies().size());
    for (const double f : {120.0, 410.0, 970.0}) {
        const Errors r = errors(rough, levels[0], setting, f), e = errors(fine, levels[0], setting, f);
        CAPTURE(f, r.Z, r.T, e.Z, e.T);
        CHECK(r.Z < 5e-2);
        CHECK(e.Z < 1e-4);
        CHECK(e.T < 1e-4);
    }
}

TEST_CASE("modal radiation: only some shapes loaded", "[solver][radiation]")
{
    // Reference: Z and T of the same shapes all loaded. Tolerance: the two runs may choose different nodes, each within
    // 2e-3.
    const std::vector<RadiatingLevel> levels{test::cabinet_level({4, 7, 6}, 1, 1, 700)};
    const Index n_shapes = levels[0].shapes.cols(), n_loaded = 3;
    const ModalRadiation all(levels, {.air = air, .plane = {}}, listeners(), {.f_high = 700, .tolerance = 1e-3});
    const ModalRadiation few(levels, {.air = air, .plane = {}}, listeners(),
                             {.f_high = 700, .tolerance = 1e-3, .n_loaded = n_loaded});
    REQUIRE(few.impedance(100).rows() == n_loaded);
    REQUIRE(few.transfer(100).cols() == n_shapes);
    const MatrixXcd Z = all.impedance(315).topLeftCorner(n_loaded, n_loaded), T = all.transfer(315);
    CHECK_THAT((few.impedance(315) - Z).norm() / Z.norm(), WithinAbs(0, 2e-3));
    CHECK_THAT((few.transfer(315) - T).norm() / T.norm(), WithinAbs(0, 2e-3));
}

TEST_CASE("modal radiation over a slit", "[solver][radiation]")
{
    // Reference: direct solutions. A cabinet on feet of 10 mm: the air in the slit rings sharply, near c/2/0.38 m = 451
    // Hz first (no loss but radiation), so that the stretch must be cut. Claim as in the first test. Tolerance: that
    // asked for by default, 2 %. The asymmetry is not judged: panels of 54 mm are coarse beside 10 mm.
    const std::vector<RadiatingLevel> levels{test::cabinet_level({4, 7, 6}, 1, 1, 600)};
    const solver::RadiationSetting setting{
        .air = air, .plane = solver::RigidPlane{{0, 0, -0.01}, {0, 0, 1}}, .equation = solver::BoundaryEquation::plain};
    const ModalRadiation modal(levels, setting, listeners(), {.f_high = 600});
    CAPTURE(modal.frequencies(), modal.error_estimate());
    CHECK(modal.error_estimate() <= 2e-2);
    for (int i = 0; i < 24; ++i) {
        const double f = 28.7 + 24.5 * i;
        const Errors e = errors(modal, levels[0], setting, f);
        CAPTURE(f, e.Z, e.T);
        CHECK(e.Z <= modal.error_estimate());
        CHECK(e.T <= modal.error_estimate());
    }
}

TEST_CASE("modal radiation of a small breathing box is a monopole's", "[solver][radiation][reference]")
{
    // Reference: p = jωρU e^{−jkr}/(4πr), Re Z = ρc k²A²/(4π) with U = A v; on a rigid floor twice both.
    // Tolerance: kL = 0.05 at 10 Hz with L = 0.265 m, half the diagonal; what is neglected is of order (kL)²/2 = 0.1 %
    // and, for the quadrupole at 20 m, (L/r)² = 0.02 %. 0.5 % is left for the panels. On the floor the image is up to
    // 0.3 m off: k 0.3 = 0.055.
    const auto box = test::box(test::cabinet_size, {4, 7, 6});
    const double A = areas(box).sum(), k = 2 * pi * 10 / air.sound_speed, r = 20;
    const Points point = 0.5 * test::cabinet_size + r * Vector3d(0.6, 0.8, 0);
    for (const bool has_floor : {false, true}) {
        solver::RadiationSetting setting{.air = air, .plane = {}};
        if (has_floor) setting.plane = solver::RigidPlane{{0, 0, -0.01}, {0, 0, 1}};
        const ModalRadiation modal({breathing_and_moving(box, 400)}, setting, point, {.f_low = 10, .f_high = 400});
        const double image = has_floor ? 2 : 1;
        const Complex p = image * j * 2.0 * pi * 10.0 * air.density * A * std::exp(-j * k * r) / (4 * pi * r);
        const double R = image * air.density * air.sound_speed * k * k * A * A / (4 * pi);
        CAPTURE(has_floor, modal.transfer(10)(0, 0) / p, modal.impedance(10)(0, 0).real() / R);
        CHECK_THAT(std::abs(modal.transfer(10)(0, 0) / p - 1.0), WithinAbs(0, 5e-3));
        CHECK_THAT(modal.impedance(10)(0, 0).real(), WithinRel(R, 5e-3));
    }
}

TEST_CASE("modal radiation of a cube moving to and fro", "[solver][radiation][reference]")
{
    // Reference: (1) the added mass Im Z/ω is at least the ball's of the same volume, ½ρV: of all bodies of a volume
    // the ball has the smallest mean added mass (Schiffer and Szegő, Trans. AMS 67 (1949) 130), and a cube has the same
    // along all axes. Above: V + M/ρ grows with the body, so it is below the circumscribed ball's 1.5 · 4π/3 · (√3/2)³
    // a³ = 4.08 a³, M < 3.08 ρV. (2) about 0.67 ρV (from memory), 5 % for memory and panels. (3) the sound is a dipole
    // of momentum (ρV + M) v, along z: p = jω (ρV + M)(jk + 1/r) e^{−jkr}/(4πr): independent of M's own value.
    // Tolerance 2 %: (ka)² = 0.3 % at 10 Hz and the panels' error of M at sharp edges, which (3) meets once through M
    // and once through T. (4) Re Z = (ωk)²(ρV + M)²/(12π ρ c), the power of that dipole; likewise 4 %.
    const double a = 0.3, V = a * a * a, omega = 2 * pi * 10, k = omega / air.sound_speed, r = 20;
    const Points point = Vector3d(0.5 * a, 0.5 * a, 0.5 * a + r);
    const ModalRadiation modal({breathing_and_moving(test::box({a, a, a}, {10, 10, 10}), 200)},
                               {.air = air, .plane = {}}, point, {.f_low = 10, .f_high = 200});
    const Complex Z = modal.impedance(10)(1, 1);
    const double M = Z.imag() / omega, momentum = air.density * V + M;
    CAPTURE(M / (air.density * V));
    CHECK(M > 0.5 * air.density * V);
    CHECK(M < 3.08 * air.density * V);
    CHECK_THAT(M, WithinRel(0.67 * air.density * V, 0.05));
    const Complex dipole = j * omega * momentum * (j * k + 1 / r) * std::exp(-j * k * r) / (4 * pi * r);
    CAPTURE(modal.transfer(10)(0, 1) / dipole);
    CHECK_THAT(std::abs(modal.transfer(10)(0, 1) / dipole - 1.0), WithinAbs(0, 0.02));
    const double R = std::pow(omega * k * momentum, 2) / (12 * pi * air.density * air.sound_speed);
    CAPTURE(Z.real() / R);
    CHECK_THAT(Z.real(), WithinRel(R, 0.04));
}

TEST_CASE("modal radiation: what it refuses", "[solver][radiation]")
{
    const auto level = test::cabinet_level({2, 4, 3}, 1, 1, 500);
    const auto make = [&](const std::vector<RadiatingLevel>& levels, const Points& points,
                          const solver::ModalBand& band) {
        return ModalRadiation(levels, {.air = air, .plane = {}}, points, band);
    };
    const solver::ModalBand band{.f_high = 500};
    auto fewer = level, lower = level, wrong = level;
    fewer.shapes.conservativeResize(Eigen::NoChange, 2);
    fewer.f_top = 600;
    lower.f_top = 400;
    wrong.shapes.conservativeResize(5, Eigen::NoChange);
    CHECK_THROWS_AS(make({}, listeners(), band), DomainError);
    CHECK_THROWS_AS(make({level, fewer}, listeners(), band), DomainError);
    CHECK_THROWS_AS(make({level, lower}, listeners(), band), DomainError);
    CHECK_THROWS_AS(make({wrong}, listeners(), band), DomainError);
    CHECK_THROWS_AS(make({lower}, listeners(), band), DomainError);
    CHECK_THROWS_AS(make({level}, listeners(), {.f_low = 0, .f_high = 500}), DomainError);
    CHECK_THROWS_AS(make({level}, listeners(), {.f_low = 200, .f_high = 100}), DomainError);
    CHECK_THROWS_AS(make({level}, listeners(), {.f_high = 500, .tolerance = 0}), DomainError);
    CHECK_THROWS_AS(make({level}, listeners(), {.f_high = 500, .n_loaded = 99}), DomainError);
    CHECK_THROWS_AS(make({level}, Vector3d(0.1, 0.1, 0.1), band), DomainError);
    CHECK_THROWS_AS(make({level}, listeners(), {.f_high = 500, .tolerance = 1e-17}), SolverError);
    const ModalRadiation modal = make({level}, listeners(), band);
    CHECK_THROWS_AS(modal.impedance(19), DomainError);
    CHECK_THROWS_AS(modal.transfer(501), DomainError);
}
