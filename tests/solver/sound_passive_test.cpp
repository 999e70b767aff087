// A passive radiator against what is known in closed form where waves are long, and against a port of like mass.

#include "sound_fixture.h"

#include "solver/drive/coupled.h"
#include "solver/drive/internal/resonance.h"
#include "solver/drive/played.h"

#include <numbers>

using namespace stillwall;
using namespace sound_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using solver::Played;
using solver::Player;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

/// A cone without motor: 5 g, its own resonance at `fs`.
SmallSignal radiator(double fs)
{
    SmallSignal s;
    s.Mms = 5e-3;
    s.Cms = 1 / (std::pow(2 * pi * fs, 2) * s.Mms);
    s.Rms = 0.1;
    s.Sd = 60e-4;
    return s;
}

/// The small woofer below, something else above it.
CabinetPlan tuned_box(const OpeningPlan& above)
{
    CabinetPlan plan = sealed_box();
    plan.openings.push_back(above);
    plan.sound.f_from = 15;
    plan.sound.f_to = 200;
    ListenerPlan far;
    far.name = "far";
    far.at = Eigen::Vector3d(0.1, -30, 0.15);
    plan.sound.listeners = {far};
    return plan;
}

CabinetPlan with_radiator(double fs)
{
    OpeningPlan slave = hole("slave", "front", 0.092, 0.1, 0.225);
    slave.insert.kind = InsertPlan::Kind::Passive;
    slave.insert.name = "slave";
    slave.insert.mass = 0.2;
    slave.insert.small_signal = radiator(fs);
    return tuned_box(slave);
}

/// A tube of 40 mm.
CabinetPlan with_port(double length)
{
    OpeningPlan port = hole("port", "front", 0.04, 0.1, 0.23);
    port.insert.kind = InsertPlan::Kind::Port;
    port.insert.name = "port";
    port.insert.port_length = length;
    port.insert.volume = pi * 0.02 * 0.02 * (length - 0.018);
    return tuned_box(port);
}

solver::SoundMode tuning_of(const Player& player)
{
    const std::vector<std::string> names(static_cast<std::size_t>(player.cabinet.air.mode_Hz.size()));
    const auto modes = solver::internal::air_resonances(player, names, 15, 200);
    const auto found = std::find_if(modes.begin(), modes.end(),
                                    [](const auto& m) { return m.mode.kind == solver::SoundMode::Kind::Port; });
    REQUIRE(found != modes.end());
    return found->mode;
}

double air_spring(const Player& player, double Sd)
{
    const Air& air = player.cabinet.air.air;
    return air.density * air.sound_speed * air.sound_speed * Sd * Sd / player.cabinet.air.volume; // [N/m]
}

/// Outward flow [m³/s] of the woofer and of what is tuned, walls still.
struct Flows
{
    Complex woofer, tuned;
    [[nodiscard]] Complex sum() const { return woofer + tuned; }
};

Flows flows(const Player& player, double f)
{
    const Played played = player.play(f);
    const auto& other = player.cabinet.sources[1];
    return {played.sources_still[0] * small_woofer().Sd, played.sources_still[1] * (other.cone ? other.area : 1.0)};
}

} // namespace

TEST_CASE("A passive radiator tunes the box where its mass meets suspension and air spring", "[sound]")
{
    const SmallSignal s = radiator(20);
    const Player player = Stage(with_radiator(20)).player();
    REQUIRE(player.cabinet.sources.size() == 2);
    CHECK(player.cabinet.sources[1].source.kind == solver::Source::Kind::Passive);
    const double a = std::sqrt(s.Sd / pi), disc = 8.0 / 3 * player.cabinet.air.air.density * a * a * a; // 0.26 g
    const auto tuning = [&](double extra) {
        return std::sqrt((1 / s.Cms + air_spring(player, s.Sd)) / (s.Mms + extra)) / (2 * pi);
    };
    const solver::SoundMode mode = tuning_of(player);
    // Reference: mass on two springs. Tolerance: the air carried beyond that of a free disc: 0.2 to 0.35 g on this box,
    // as for the woofer in sound_lumped_test.cpp.
    INFO("tuning " << mode.f_Hz << " Hz, lumped " << tuning(0) << ", with 0.35 g more " << tuning(0.35e-3) << ", Q "
                   << mode.Q);
    CHECK(mode.f_Hz < tuning(-0.1 * disc));
    CHECK(mode.f_Hz > tuning(1.4 * disc));
    // The same formula: round-off.
    CHECK_THAT(solver::tuning_estimate(player.cabinet).value(), WithinRel(tuning(0), 1e-9));

    // Reference: Q = ωm/(Rms + R), R = ρω²Sd²/4πc of a small source: 1 % of Rms. Tolerance: the mass is known to 2 %,
    // and half of that radiation to little. The energy in the suspension, 12 % of all, counts: the air's spring alone
    // would make it 15.6.
    const Air air = player.cabinet.air.air;
    const double omega = 2 * pi * mode.f_Hz, R = air.density * std::pow(omega * s.Sd, 2) / (4 * pi * air.sound_speed);
    CHECK_THAT(mode.Q, WithinRel(omega * (s.Mms + 0.7 * disc) / (s.Rms + R), 0.025));

    // There the woofer rests.
    const Flows at = flows(player, mode.f_Hz);
    CHECK(std::abs(at.tuned) > 5 * std::abs(at.woofer));
}

TEST_CASE("At a passive radiator's own resonance it swallows all that the woofer gives", "[sound]")
{
    // Reference: inside, (U_d + U_p)/jωC_a = −p and p Sd = −Z_p v_p, so (U_d + U_p)/U_p = −jω C_a Z_p/Sd² = (f² − f_p²
    // − j f f_p/Q_p)/f_a², with f_a the mass on the air spring alone.
    const SmallSignal s = radiator(30);
    const Player player = Stage(with_radiator(30)).player();
    const double disc = 0.26e-3, m = s.Mms + 0.8 * disc, k = air_spring(player, s.Sd);
    const double f_p = std::sqrt(1 / (s.Cms * m)) / (2 * pi), f_a = std::sqrt(k / m) / (2 * pi);
    for (const double f : {16.0, 22.0, f_p, 40.0, 80.0}) {
        const Flows u = flows(player, f);
        const Complex expected((f * f - f_p * f_p) / (f_a * f_a), -f * s.Rms / (2 * pi * m * f_a * f_a));
        INFO(f << " Hz: " << u.sum() / u.tuned << ", expected " << expected);
        // Tolerance: the mass, known to 2 %, weighs with (f/f_a)²; R above, 0.3 % of the whole at 80 Hz.
        CHECK(std::abs(u.sum() / u.tuned - expected) < 0.02 * std::pow(f / f_a, 2) + 0.003);
    }
}

TEST_CASE("A limp passive radiator does what a port of its acoustic mass does", "[sound]")
{
    const SmallSignal s = radiator(2);
    const Player slave = Stage(with_radiator(2)).player();
    const Air air = slave.cabinet.air.air;
    const double S = pi * 0.02 * 0.02, mass = (s.Mms + 0.2e-3) / (s.Sd * s.Sd),
                 length = mass * S / air.density - 1.46 * 0.02;
    const Player port = Stage(with_port(length), 0.07, 0.05, 0.05).player();
    const double f_slave = tuning_of(slave).f_Hz, f_port = tuning_of(port).f_Hz;
    INFO("port of " << length * 1e3 << " mm: " << f_port << " Hz, radiator " << f_slave << " Hz");
    // Reference: a port of the radiator's acoustic mass. Tolerance: its ends are 1.2 to 1.7 radii, 2 % of f; the
    // radiator's air 1 %.
    CHECK_THAT(f_slave, WithinRel(f_port, 0.03));

    // Reference: with x = f/f_b the sum of the flows is −x²/(1 − x²) of the woofer's, whatever is tuned; losses add x/Q
    // of it, Q above 10. Tolerance: that loss stands at right angles to the sum, under 1 % of its size; the flow
    // changes by 2/(1 − x²), at most three times, what the tuning does, which is taken from a mode with losses, good to
    // 1 %.
    for (const double x : {0.4, 0.5, 0.6, 1.6}) {
        const Flows a = flows(slave, x * f_slave), b = flows(port, x * f_port);
        const double expected = x * x / std::abs(1 - x * x);
        INFO("x " << x << ": radiator " << a.sum() / a.woofer << ", port " << b.sum() / b.woofer << ", expected "
                  << expected);
        CHECK_THAT(std::abs(a.sum() / a.woofer), WithinRel(expected, 0.03));
        CHECK_THAT(std::abs(b.sum() / b.woofer), WithinRel(expected, 0.03));
    }
    // Reference: far away p ∝ f² x²/(1 − x²)/|z| with the woofer's z = 1/Cms − k x²/(1 − x²) − ω²m + jω(Rms + Bl²/Re),
    // k the air spring on it: by hand 23.7 dB per octave from 0.35 to 0.5 of the tuning. Tolerance: 2 % of losses of
    // the radiator, which bear on the deeper point only.
    const auto slope = [](const Player& player, double f) {
        return 20 * std::log10(std::abs(player.play(0.5 * f).direct(0) / player.play(0.35 * f).direct(0))) /
               std::log2(0.5 / 0.35);
    };
    INFO("dB per octave: radiator " << slope(slave, f_slave) << ", port " << slope(port, f_port));
    CHECK_THAT(slope(slave, f_slave), WithinAbs(23.7, 0.4));
    CHECK_THAT(slope(port, f_port), WithinAbs(23.7, 0.4));
}
