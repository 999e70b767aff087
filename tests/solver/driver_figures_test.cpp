// Small-signal figures from made-up sweeps: published relations, round trips, errors.

#include "mesh/cabinet/error.h"
#include "solver/measured/driver_figures.h"
#include "tests/solver/sweep_circuits.h"

#include <catch2/catch.hpp>

using namespace sweep_circuits;
using namespace stillwall::solver;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// Re 6 ohm, Bl 7.5 T m, Mms 20 g, Cms 0.8 mm/N, Rms 1.2 kg/s, Sd 220 cm², no inductance.
Circuit moving_coil()
{
    Circuit c;
    c.Le = 0;
    return c;
}

const std::vector<double>& grid()
{
    static const auto f = log_grid(8, 20000, 48);
    return f;
}

} // namespace

TEST_CASE("driver figures: the relations of Thiele and Small", "[measured][driver]")
{
    // Reference: closed forms recomputed by hand: A. N. Thiele, J. Audio Eng. Soc. 19 (1971) 382; R. H. Small, ibid. 20
    // (1972) 383.
    const Sweep sweep = swept(moving_coil(), grid());
    const DriverFigures d = driver_figures(sweep);
    // Tolerance: the digits of these figures, seven, and of |Z| six.
    CHECK_THAT(d.fs.value, WithinRel(39.78874, 1e-6));
    CHECK_THAT(d.Qms.value, WithinRel(4.166667, 1e-6));
    CHECK_THAT(d.Qes.value, WithinRel(0.533333, 1e-6));
    CHECK_THAT(d.Qts.value, WithinRel(0.472813, 1e-6));
    CHECK_THAT(d.Zmax.value, WithinRel(52.875, 1e-6));
    // |Z| = √(Re Zmax) = 17.8115 ohm at 28.06400 and 56.41190 Hz, Qms = fs √r0 / (f2 − f1).
    const ImpedanceFit fit = fit_smooth(sweep);
    CHECK_THAT(std::abs(fit.model.at(28.06400)), WithinRel(17.8115, 1e-5));
    CHECK_THAT(std::abs(fit.model.at(56.41190)), WithinRel(17.8115, 1e-5));
}

TEST_CASE("driver figures: added mass and known box", "[measured][driver]")
{
    // Reference: the circuit's own figures; those of the loaded and the boxed driver from them by hand. Tolerance: the
    // seven digits of these, where ρ and c come in five; Vas by added mass takes ρ as 1.204, the figure here 1.2041.
    const DriverFigures bare = driver_figures(swept(moving_coil(), grid()));
    Circuit heavy = moving_coil();
    heavy.Mms += 10e-3;
    const DriverFigures loaded = driver_figures(swept(heavy, grid()));
    CHECK_THAT(loaded.fs.value, WithinRel(32.48737, 1e-6));
    const MovingFigures moving = figures_by_added_mass(bare, loaded, {10e-3, 0.05e-3}, 220e-4);
    CHECK_THAT(moving.Mms.value, WithinRel(20e-3, 1e-6));
    CHECK_THAT(moving.Cms.value, WithinRel(0.8e-3, 1e-6));
    CHECK_THAT(moving.Rms.value, WithinRel(1.2, 1e-6));
    CHECK_THAT(moving.Bl.value, WithinRel(7.5, 1e-6));
    REQUIRE(moving.Vas);
    CHECK_THAT(moving.Vas->value, WithinRel(54.9152e-3, 2e-4));
    CHECK_THAT(moving.Mms.error / moving.Mms.value, WithinRel(0.005, 0.01)); // that of the mass

    Circuit boxed = moving_coil();
    boxed.volume = 0.02;
    const DriverFigures in_box = driver_figures(swept(boxed, grid()));
    CHECK_THAT(in_box.fs.value, WithinRel(77.00698, 1e-6));
    CHECK_THAT(in_box.Qes.value, WithinRel(1.032211, 1e-6));
    const BoxFigures box = figures_by_box(bare, in_box, {0.02, 0}, 220e-4);
    CHECK_THAT(box.Vas.value, WithinRel(54.9152e-3, 1e-5));
    CHECK_THAT(box.Vas_by_frequency.value, WithinRel(54.9152e-3, 1e-5));
    CHECK_THAT(box.moving->Mms.value, WithinRel(20e-3, 2e-4));
    // fc/fs = Qtc/Qts = √(1 + α) when only the motor damps: Qec/Qes.
    CHECK_THAT(in_box.fs.value / bare.fs.value, WithinRel(std::sqrt(1 + 54.9152 / 20), 1e-5));
    CHECK_THAT(in_box.Qes.value / bare.Qes.value, WithinRel(std::sqrt(1 + 54.9152 / 20), 1e-5));

    CHECK_THROWS_WITH(figures_by_added_mass(loaded, bare, {10e-3, 0}, {}), Contains("it must fall by 3 %"));
    CHECK_THROWS_WITH(figures_by_box(in_box, bare, {0.02, 0}, {}), Contains("it must rise by 3 %"));
    Circuit vented = boxed;
    vented.f_box = 40;
    CHECK_THROWS_WITH(driver_figures(swept(vented, grid())), Contains("vented box"));
}

TEST_CASE("driver figures: vented alignments go in and come out", "[measured][driver]")
{
    // Reference: fourth-order Butterworth (h, QT, α) without losses and with leaks: Thiele (1961/1971); Small, J. Audio
    // Eng. Soc. 21 (1973). Tolerance: the six digits of the alignment, to which the response below fs is the most
    // sensitive; the fit of an exact circuit: round-off.
    struct Alignment
    {
        double Q_leak, QT, alpha;
    };
    for (const Alignment& a :
         {Alignment{0, 0.382683, 1.414214}, {10, 0.397911, 1.162901}, {7, 0.404814, 1.061318}, {5, 0.4144, 0.931588}}) {
        Circuit c;
        c.Le = 0;
        c.Rms = 1e-9; // QT is the motor's
        const double w = 2 * pi * c.fs();
        c.Bl = std::sqrt(w * c.Mms * c.Re / a.QT);
        c.volume = rho * sweep_circuits::c * sweep_circuits::c * c.Sd * c.Sd * c.Cms / a.alpha;
        c.f_box = c.fs();
        c.Q_leak = a.Q_leak;
        // Far field ∝ s × volume velocity of cone, port and leak = that of the box's spring: flat as a Butterworth.
        const auto far = [&](double f) {
            const Complex s(0, 2 * pi * f), Z = c.at(f);
            const Complex v = c.Bl / Z / (s * c.Mms + c.Rms + 1.0 / (s * c.Cms) + c.Sd * c.Sd * c.box(f));
            return std::norm(s * (c.Sd * v * c.box(f)) * s * c.volume);
        };
        const double top = far(100 * c.fs()) * (1 + 1e-16);
        for (const double x : {0.5, 0.8, 1.0, 1.5, 3.0})
            CHECK_THAT(far(x * c.fs()) / top, WithinRel(1 / (1 + std::pow(x, -8)), 2e-4));
        // Its impedance is two humps exactly; the tuning is where their sum is least.
        Circuit measured = c;
        measured.Rms = w * c.Mms / 5;
        const ImpedanceFit fit = fit_smooth(swept(measured, grid()));
        REQUIRE(fit.kind == BoxKind::TwoHumps);
        const Sweep sweep = swept(measured, grid());
        CHECK((fit.model.at(sweep.f_Hz) - sweep.Z).cwiseAbs().maxCoeff() < 1e-8);
    }
}

TEST_CASE("driver figures: stated errors are those of many draws, with a lossy coil", "[measured][driver]")
{
    Circuit c;
    c.n = 0.6;
    c.Le = 0.9e-3;
    std::mt19937_64 random(21);
    constexpr int n = 150;
    double f = 0, Qms = 0, Qes = 0, Re = 0;
    for (int i = 0; i < n; ++i) {
        Sweep sweep = swept(c, log_grid(10, 20000, 24));
        disturb(sweep, {.share = 1e-3, .floor = 0, .warming = 0, .n_pickups = 0}, c.Re, random);
        const DriverFigures d = driver_figures(sweep);
        f += std::pow((d.fs.value - c.fs()) / d.fs.error, 2);
        Qms += std::pow((d.Qms.value - c.Qms()) / d.Qms.error, 2);
        Qes += std::pow((d.Qes.value - c.Qes()) / d.Qes.error, 2);
        Re += std::pow((d.Re.value - c.Re) / d.Re.error, 2);
    }
    // Reference: errors over stated errors have an r.m.s. of 1. Tolerance: 150 draws tell their r.m.s. to 6 %; the
    // noise itself is known to 15 % and outliers count less than full.
    for (const double squares : {f, Qms, Qes, Re}) CHECK_THAT(std::sqrt(squares / n), WithinAbs(1, 0.25));
}

TEST_CASE("driver figures: coils that are ladders", "[measured][driver]")
{
    // Twenty-four coils of L and two R‖L each. Reference: what the circuits were made of. Tolerance: five stated
    // errors (the worst of 24 × 3 draws of a normal lies at 2.7, and the errors are known to a quarter) and 1e-3, as
    // far as the sweep's lowest point is from a coil that does nothing there.
    std::mt19937_64 random(33);
    std::uniform_real_distribution<double> uniform;
    const auto between = [&](double a, double b) { return a * std::pow(b / a, uniform(random)); };
    for (int i = 0; i < 24; ++i) {
        Circuit c;
        c.Le = 0;
        c.Re = between(2.8, 6.5);
        const double L = between(0.1e-3, 0.5e-3);
        const std::array steps{CoilStep{between(0.5, 3), between(0.3e-3, 1.5e-3)},
                               CoilStep{between(5, 30), between(0.1e-3, 0.5e-3)}};
        Sweep sweep = swept(c, log_grid(10, 20000, 24));
        for (std::size_t k = 0; k < sweep.f_Hz.size(); ++k) {
            const double f = sweep.f_Hz[k];
            sweep.Z[static_cast<Eigen::Index>(k)] += Complex(0, 2 * pi * f * L) + steps[0].at(f) + steps[1].at(f);
        }
        disturb(sweep, {.share = 1e-3, .floor = 0, .warming = 0, .n_pickups = 0}, c.Re, random);
        const DriverFigures d = driver_figures(sweep);
        CAPTURE(i, c.Re, d.Re.value, d.Re.error, d.fs.value, d.Qes.value, d.Qes.error, d.misfit);
        CHECK_THAT(d.Re.value, WithinAbs(c.Re, 5 * d.Re.error + 1e-3 * c.Re));
        CHECK_THAT(d.fs.value, WithinAbs(c.fs(), 5 * d.fs.error + 1e-3 * c.fs()));
        CHECK_THAT(d.Qes.value, WithinAbs(c.Qes(), 5 * d.Qes.error + 1e-3 * c.Qes()));
        CHECK(d.misfit < 1.3);
        const DriverFigures held = driver_figures(sweep, c.Re);
        CHECK(held.Re.value == c.Re);
        CHECK(held.Qes.error <= d.Qes.error);
        CHECK_THROWS_WITH(driver_figures(sweep, 1.2 * sweep.Z.cwiseAbs().minCoeff()), Contains("cannot lie above"));
    }
}

TEST_CASE("driver figures: two units side by side", "[measured][driver]")
{
    Circuit a, b;
    b.Mms *= 1.03;
    b.Re *= 1.01;
    const Sweep first = swept(a, grid()), second = swept(b, grid());
    // Reference: fs goes as the root of the mass, by hand. Tolerance: the fit of an exact circuit, with a lossy coil.
    const PairMatch match = match_pair(first, driver_figures(first), second, driver_figures(second));
    CHECK_THAT(match.fs.value, WithinAbs(1 / std::sqrt(1.03) - 1, 1e-6));
    CHECK_THAT(match.Re.value, WithinAbs(0.01, 1e-6));
    CHECK(std::abs(match.largest_curve) > 0.02);
}
