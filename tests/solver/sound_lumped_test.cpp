// The driven cabinet against what is known in closed form where walls stand still and waves are long.

#include "sound_fixture.h"

#include "solver/drive/coupled.h"
#include "solver/drive/internal/resonance.h"
#include "solver/drive/played.h"

#include <numbers>

using namespace stillwall;
using namespace sound_fixture;
using Catch::Matchers::WithinRel;
using solver::Played;
using solver::Player;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

/// Closed-box driver without waves: mass, spring of suspension and air, resistance, motor.
Complex lumped_impedance(const SmallSignal& s, double mass, double volume, const Air& air, double f)
{
    const Complex jw(0, 2 * pi * f);
    const double air_spring = air.density * air.sound_speed * air.sound_speed * s.Sd * s.Sd / volume;
    const Complex Zm = jw * mass + s.Rms + (1 / s.Cms + air_spring) / jw, Ze = solver::coil_impedance(s, f);
    return Ze + s.Bl * s.Bl / Zm;
}

/// Frequency of the largest |Z|, by thirds.
template <class Z> double resonance(const Z& impedance, double from, double to)
{
    for (int i = 0; i < 60; ++i) {
        const double a = from + (to - from) / 3, b = to - (to - from) / 3;
        (std::abs(impedance(a)) < std::abs(impedance(b)) ? from : to) =
            std::abs(impedance(a)) < std::abs(impedance(b)) ? a : b;
    }
    return (from + to) / 2;
}

} // namespace

TEST_CASE("A closed box's impedance is the lumped driver's on the air spring", "[sound]")
{
    const Stage stage(sealed_box());
    const Player player = stage.player();
    const SmallSignal s = small_woofer();
    const double volume = bookkeeping(stage.cabinet).net_volume_m3;
    // Reference: the litres of the bookkeeping. Tolerance: chords of the hole's edge take some 0.05 % of the volume.
    CHECK_THAT(player.cabinet.air.volume, WithinRel(volume, 1e-3));

    // Reference: mass, spring, motor. Tolerance: the masses: Mms holds the air of a free disc, 8/3 ρa³ = 0.26 g. On a
    // box the front carries nearer to a baffled piston's 8/3 ρa³ and the back, near the walls, about as much: 0.2 to
    // 0.35 g more than Mms, 1 to 2 % of f less.
    const double a = std::sqrt(s.Sd / pi), disc = 8.0 / 3 * player.cabinet.air.air.density * a * a * a;
    CHECK_THAT(solver::mass_in_vacuo(s, false, player.cabinet.air.air), WithinRel(s.Mms - disc, 1e-9)); // round-off
    const auto model = [&](double extra) {
        return resonance(
            [&](double f) { return lumped_impedance(s, s.Mms + extra, volume, player.cabinet.air.air, f); }, 40, 100);
    };
    const double found = resonance([&](double f) { return player.play(f).impedance_still[0]; }, 40, 100);
    INFO("closed-box resonance " << found << " Hz, lumped " << model(0) << ", with 0.35 g more " << model(0.35e-3));
    CHECK(found < model(-0.1 * disc));
    CHECK(found > model(1.4 * disc));

    // Tolerance: at 25 Hz springs rule: mass is 8 % of the reaction and known to 3 %, so 0.3 % of the motion's part.
    const Complex Z = player.play(25).impedance_still[0],
                  lumped = lumped_impedance(s, s.Mms + 0.5 * disc, volume, player.cabinet.air.air, 25);
    CHECK(std::abs(Z - lumped) < 0.005 * std::abs(lumped - s.Re));
}

TEST_CASE("Power and far pressure of a small box are those of its volume flow", "[sound]")
{
    CabinetPlan plan = sealed_box();
    ListenerPlan far;
    far.name = "far";
    far.at = Eigen::Vector3d(0.1, -30, 0.15);
    plan.sound.listeners = {far};
    const Stage stage(plan);
    const Player player = stage.player();
    const Played played = player.play(30);
    const Air air = player.cabinet.air.air;
    const double omega = 2 * pi * 30, U = std::abs(played.sources_still[0]) * small_woofer().Sd;
    // Reference: monopole, ρωU/4πr and ρω²U²/4πc. Tolerance: next order (kb)² with b = 0.15 m: 0.7 %, doubled for the
    // panels' own error.
    CHECK_THAT(std::abs(played.direct(0)), WithinRel(air.density * omega * U / (4 * pi * 30), 0.015));
    const double U_moving = std::abs(played.sources[0]) * small_woofer().Sd;
    CHECK_THAT(played.power_sources,
               WithinRel(U_moving * U_moving * air.density * omega * omega / (4 * pi * air.sound_speed), 0.015));
}

TEST_CASE("A port tunes the box where its mass with two ends meets the air spring", "[sound]")
{
    CabinetPlan plan = sealed_box();
    OpeningPlan port = hole("port", "front", 0.04, 0.1, 0.23);
    port.insert.kind = InsertPlan::Kind::Port;
    port.insert.name = "port";
    port.insert.port_length = 0.09;
    port.insert.volume = pi * 0.02 * 0.02 * (0.09 - 0.018);
    plan.openings.push_back(port);
    const Stage stage(plan, 0.07, 0.05, 0.05);
    const Player player = stage.player();
    const Air air = player.cabinet.air.air;
    const double S = pi * 0.02 * 0.02, V = player.cabinet.air.volume;
    const auto tuning = [&](double ends) {
        return air.sound_speed / (2 * pi) * std::sqrt(S / (V * (0.09 + ends * 0.02)));
    };
    const auto modes = solver::internal::air_resonances(
        player, std::vector<std::string>(static_cast<std::size_t>(player.cabinet.air.mode_Hz.size())), 20, 800);
    REQUIRE(!modes.empty());
    const auto port_mode = std::find_if(modes.begin(), modes.end(),
                                        [](const auto& m) { return m.mode.kind == solver::SoundMode::Kind::Port; });
    REQUIRE(port_mode != modes.end());
    const double f = port_mode->mode.f_Hz;
    // Reference: the resonator's formula. Tolerance: ends: outside near 0.85 a in a face of 5 × 7.5 port diameters
    // (0.85 baffled, 0.61 free), inside the same but in a box narrower still; the volume's own inertance adds a little.
    // Together 1.2 to 1.7 a.
    INFO("tuning " << f << " Hz, with 1.2 a " << tuning(1.2) << ", with 1.7 a " << tuning(1.7) << " Q "
                   << port_mode->mode.Q);
    CHECK(f < tuning(1.2));
    CHECK(f > tuning(1.7));
    // At the tuning the cone rests and the port speaks for it: its flow is many times the cone's.
    const Played at = player.play(f);
    CHECK(std::abs(at.sources_still[1]) > 5 * std::abs(at.sources_still[0]) * small_woofer().Sd);
    // Well below, the port takes all that the cone gives: outside nothing is left, sources in opposite phase.
    const Played below = player.play(22);
    const Complex flow = below.sources_still[0] * small_woofer().Sd + below.sources_still[1];
    CHECK(std::abs(flow) < 1.2 * std::pow(22 / f, 2) * std::abs(below.sources_still[1]));
}

TEST_CASE("Two drivers on opposite walls cancel their force and not their pressure", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.openings = {driver("one", "left", 0.125, 0.15), driver("two", "right", 0.125, 0.15)};
    WayPlan way;
    way.name = "both";
    way.drivers = {"one", "two"};
    way.reversed = {false, false};
    plan.sound.ways = {way};
    const Stage stage(plan);
    CabinetPlan against = plan;
    against.sound.ways[0].reversed = {false, true};
    const Stage turned(against);
    const Player opposed = stage.player(), same_way = turned.player();
    const double f = 100;
    const Played a = opposed.play(f), b = same_way.play(f);
    const double force_a = std::abs(a.sources[0] - a.sources[1]), force_b = std::abs(b.sources[0] - b.sources[1]);
    const double sum_a = std::abs(a.sources[0] + a.sources[1]), sum_b = std::abs(b.sources[0] + b.sources[1]);
    // Reference: symmetry. Outward velocities: alike when opposed; the recoil on the box, their difference, is left
    // over from meshes that are not mirror images (tolerance: their 1e-3).
    INFO("recoil opposed " << force_a << ", same way " << force_b << "; flow " << sum_a << ", " << sum_b);
    CHECK(force_a < 1e-3 * force_b);
    CHECK(sum_b < 1e-3 * sum_a);
    CHECK(
        a.air.norm() >
        50 *
            b.air.norm()); // pressure inside: full when opposed, none when the cones pass the air from one to the other
    // The whole box recoils only when the cones go the same way: its speed is −2 m v/M at frequencies where it moves as
    // one.
    const Eigen::VectorXd M_x = stage.work.matrices.system.M *
                                Eigen::VectorXd::NullaryExpr(stage.work.matrices.system.M.rows(),
                                                             [](Eigen::Index i) { return i % 6 == 0 ? 1.0 : 0.0; });
    const auto momentum = [&](const Player& player, const Played& played) {
        return std::abs((M_x.transpose() * player.cabinet.walls.V * played.walls)(0));
    };
    CHECK(momentum(opposed, a) < 0.01 * momentum(same_way, b));
    const double m = same_way.cabinet.sources[0].moving_mass;
    // Tolerance: the cones carry air along: inside the column between them, 2 ρ Sd 0.16 m at most for two faces = 1.2
    // to 2.3 g, outside that of two discs, 0.5 g; together 7 to 16 % of the cones' 17.5 g, and what their near fields
    // add.
    const double carried = momentum(same_way, b) / (m * force_b) - 1;
    INFO("air carried along, of the cones' mass: " << carried);
    CHECK(carried > 0.07);
    CHECK(carried < 0.20);
}

TEST_CASE("In series two equal drivers have four times the impedance they have in parallel", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.openings = {driver("one", "left", 0.125, 0.15), driver("two", "right", 0.125, 0.15)};
    WayPlan way;
    way.name = "both";
    way.drivers = {"one", "two"};
    way.reversed = {false, false};
    plan.sound.ways = {way};
    plan.sound.f_to = 400;
    CabinetPlan row = plan;
    row.sound.ways[0].is_series = true;
    const Played parallel = Stage(plan).player().play(90), series = Stage(row).player().play(90);
    // Reference: two equal impedances; the current through each is half. Tolerance: the two sides' meshes differ a
    // little, as with the recoil above.
    CHECK(std::abs(series.impedance[0] / parallel.impedance[0] - 4.0) < 2e-3);
    CHECK_THAT(std::abs(series.sources[0]), WithinRel(std::abs(parallel.sources[0]) / 2, 2e-3));
}

TEST_CASE("A crossover list whose slope lifts a way beyond its end is warned of", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.openings = {driver("one", "left", 0.125, 0.15)};
    plan.sound.f_to = 200;
    WayPlan way;
    way.name = "low";
    way.drivers = {"one"};
    way.crossover = {{100, 0, 0}, {200, -12, 0}};
    plan.sound.ways = {way};
    const std::vector<std::string> warnings = Stage(plan).sound().warnings;
    // Reference: 12 dB in the octave over log2(100/20) = 2.32 octaves.
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].find("crossover of 'low': its slope, going on below 100 Hz, lifts the way by 28 dB at 20 Hz") ==
          0);
}

TEST_CASE("Standing on a rigid floor the same flow makes twice the far pressure and twice the power", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.sound.floor = 0;
    plan.sound.f_to = 100;
    ListenerPlan far;
    far.name = "far";
    far.at = Eigen::Vector3d(0.1, -30, 0.15);
    plan.sound.listeners = {far};
    const Stage stage(plan);
    const Player player = stage.player();
    const Played played = player.play(30);
    const Air air = player.cabinet.air.air;
    const double omega = 2 * pi * 30, U = std::abs(played.sources_still[0]) * small_woofer().Sd;
    // Reference: monopole and its image. Tolerance: next order (kh)² with the cone 0.11 m above the floor and the box
    // of 0.3 m: 1 %, doubled for the panels' own error.
    CHECK_THAT(std::abs(played.direct(0)), WithinRel(2 * air.density * omega * U / (4 * pi * 30), 0.02));
    const double U_moving = std::abs(played.sources[0]) * small_woofer().Sd;
    const double monopole = U_moving * U_moving * air.density * omega * omega / (4 * pi * air.sound_speed);
    CHECK_THAT(played.power_sources, WithinRel(2 * monopole, 0.02));
}

TEST_CASE("Leaks give the closed box the Q that is asked for", "[sound]")
{
    // Reference: the air spring with its leak alone: Q_L = ω₀ C_a R. The cone's total Q changes as 1/Q = 1/Q_tight +
    // (air's share of the spring)/Q_L.
    CabinetPlan tight = sealed_box(), leaky = sealed_box();
    leaky.sound.leakage_Q = 7;
    leaky.sound.f_to = tight.sound.f_to = 200;
    const auto peak = [](const Player& player) {
        return resonance([&](double f) { return player.play(f).impedance_still[0]; }, 40, 100);
    };
    const Player a = Stage(tight).player(), b = Stage(leaky).player();
    const double f_a = peak(a), f_b = peak(b), Re = small_woofer().Re;
    const auto Qm = [&](const Player& player,
                        double f) { // of the motional peak: ω m Bl²/(Z − Ze)/Bl² = Bl²/(Zmax − Re) is R, Q = ω m/R
        const double R = small_woofer().Bl * small_woofer().Bl / (std::abs(player.play(f).impedance_still[0]) - Re);
        return 2 * pi * f * small_woofer().Mms / R;
    };
    const double spring = 1 / small_woofer().Cms, V = a.cabinet.air.volume;
    const Air air = a.cabinet.air.air;
    const double air_spring = air.density * std::pow(air.sound_speed * small_woofer().Sd, 2) / V;
    const double expected = 1 / Qm(a, f_a) + air_spring / (spring + air_spring) / 7;
    INFO("Qm tight " << Qm(a, f_a) << ", leaky " << Qm(b, f_b) << ", expected " << 1 / expected);
    // Tolerance: the coil's reactance and the air's mass in Mms, some per cent each.
    CHECK_THAT(1 / Qm(b, f_b), WithinRel(expected, 0.06));
}
