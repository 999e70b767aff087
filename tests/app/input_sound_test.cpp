// Figures of drivers, air and sound: from the file to the setting.

#include "app/input/cabinet_file.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::WithinRel;

namespace {

// Reference: the figures as written, turned into SI by hand. Tolerance: a few rounding errors of double precision.
constexpr double eps = 1e-14;
constexpr double degree = std::numbers::pi / 180;

const CabinetPlan& every_key()
{
    static const CabinetPlan plan = read_cabinet("tests/app/input_every_key.yaml", library());
    return plan;
}

const InsertPlan& insert(const CabinetPlan& plan, std::string_view name)
{
    for (const OpeningPlan& opening : plan.openings)
        if (opening.name == name) return opening.insert;
    FAIL("no opening " << name);
    return plan.openings.front().insert;
}

CabinetPlan box(const std::string& rest)
{
    return parse_cabinet("name: t\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
                         "boards: {all: {material: mdf, thickness: 18}}\n" +
                             rest,
                         "t", library());
}

} // namespace

TEST_CASE("figures of cones", "[app][input][sound]")
{
    const InsertPlan& woofer = insert(every_key(), "woofer");
    REQUIRE(woofer.small_signal.has_value());
    CHECK(woofer.small_signal->Re == 5.6);
    CHECK_THAT(woofer.small_signal->Le, WithinRel(0.4e-3, eps));
    CHECK(woofer.small_signal->Le_exponent == 0.7);
    CHECK(woofer.small_signal->Bl == 6.5);
    CHECK_THAT(woofer.small_signal->Mms, WithinRel(14e-3, eps));
    CHECK_THAT(woofer.small_signal->Cms, WithinRel(1e-3, eps));
    CHECK(woofer.small_signal->Rms == 1.2);
    CHECK_THAT(woofer.small_signal->Sd, WithinRel(90e-4, eps));

    // Reference: Cms = 1/((2π·1200)² · 0.0003) = 58.6349 um/N, Rms = 2π·1200·0.0003/2.5 = 0.904779 kg/s.
    const InsertPlan& tweeter = insert(every_key(), "tweeter");
    CHECK_THAT(tweeter.small_signal->Cms, WithinRel(58.6349e-6, 1e-5));
    CHECK_THAT(tweeter.small_signal->Rms, WithinRel(0.904779, 1e-6));
    CHECK_THAT(tweeter.small_signal->Sd, WithinRel(7e-4, eps));

    const InsertPlan& slave = insert(every_key(), "slave");
    CHECK(slave.kind == InsertPlan::Kind::Passive);
    CHECK(slave.mass == 0.2);
    CHECK_THAT(slave.volume, WithinRel(50e-6, eps));
    CHECK_THAT(slave.offset, WithinRel(0.01, eps));
    CHECK_THAT(slave.small_signal->Cms, WithinRel(800e-6, eps));
    CHECK_THAT(slave.small_signal->Sd, WithinRel(64.516e-4, eps)); // 1 in² = 6.4516 cm² exactly
    CHECK(slave.small_signal->Re == 0);
    // Reference: Cms = 4.9e-3 / (141 814.6 · 0.0065²) = 0.817802 mm/N.
    CHECK_THAT(insert(every_key(), "second slave").small_signal->Cms, WithinRel(0.817802e-3, 2e-6));

    const CabinetPlan silent = box(
        "openings: [{name: w, board: front, shape: circle, diameter: 90, at: {x: 100, z: 100}, driver: {mass: 1 kg}}]");
    CHECK_FALSE(insert(silent, "w").small_signal.has_value());
}

TEST_CASE("a port's tube takes its inside from the air", "[app][input][sound]")
{
    const InsertPlan& port = insert(every_key(), "port");
    CHECK_THAT(port.port_length.value(), WithinRel(0.06, eps));
    CHECK_THAT(port.flare, WithinRel(0.009, eps));
    // A slot of 90 × 30 has 60·30 + π·15² mm²; the back is 21 mm thick: 39 mm stand inside.
    CHECK_THAT(port.volume, WithinRel((1800 + std::numbers::pi * 225) * 39e-9, eps * 10));
    const std::string hole =
        "openings: [{name: p, board: back, shape: circle, diameter: 50, at: {x: 100, z: 100}, port: {mass: 0, ";
    CHECK(insert(box(hole + "length: 18}}]"), "p").volume == 0);
    CHECK_THAT(insert(box(hole + "length: 100, volume: 0.2 l}}]"), "p").volume, WithinRel(0.2e-3, eps));
    CHECK_FALSE(insert(box(hole + "flare: 9}}]"), "p").port_length); // half the board's thickness
}

TEST_CASE("air and fillings", "[app][input][sound]")
{
    const SoundPlan& sound = every_key().sound;
    CHECK(sound.leakage_Q == 10);
    CHECK_THAT(sound.wall_absorption, WithinRel(0.04, eps));
    REQUIRE(sound.fillings.size() == 4); // one of them on two boards
    const FillingPlan& whole = sound.fillings[0];
    CHECK(whole.material == "polyester_wadding");
    CHECK_THAT(whole.amount, WithinRel(0.4, eps));
    CHECK(whole.flow_resistivity.value == 3000);
    CHECK(whole.flow_resistivity.low == 1000);
    CHECK(whole.density.value == 30);
    CHECK(whole.board.empty());
    CHECK_FALSE(whole.x_from.has_value());
    CHECK(sound.fillings[1].name == "linings (top)");
    CHECK(sound.fillings[2].board == "left");
    CHECK_THAT(sound.fillings[2].thickness, WithinRel(0.01, eps));
    CHECK(sound.fillings[2].amount == 1);
    const FillingPlan& own = sound.fillings[3];
    CHECK(own.material == "own");
    CHECK(own.flow_resistivity.low == 3000);
    CHECK(own.flow_resistivity.value == 5000);
    CHECK(own.density.high == 20);
    CHECK(own.z_from == 0.04);
    CHECK(own.x_to == 0.15);
    CHECK_FALSE(own.y_to.has_value());
}

TEST_CASE("drive, listeners, ways", "[app][input][sound]")
{
    const SoundPlan& sound = every_key().sound;
    CHECK_FALSE(sound.volts.has_value());
    CHECK(sound.level_dB == 90);
    CHECK(sound.level_from == 300);
    CHECK(sound.level_to == 1000);
    CHECK(sound.f_from == 30);
    CHECK(sound.f_to == 2000);
    CHECK(sound.per_octave == 12);
    REQUIRE(sound.listeners.size() == 2);
    CHECK(sound.listeners[0].at->isApprox(Vector3d(0.2, -3, 0.9), eps));
    CHECK(sound.listeners[1].distance == 2);
    CHECK_THAT(sound.listeners[1].across, WithinRel(30 * degree, eps));
    CHECK_THAT(sound.listeners[1].up, WithinRel(10 * degree, eps));
    CHECK(sound.listeners[1].in_front_of == "tweeter");
    REQUIRE(sound.ways.size() == 2);
    CHECK(sound.ways[0].is_series);
    CHECK(sound.ways[0].reversed == std::vector<bool>{false});
    CHECK(sound.ways[0].crossover.empty());
    REQUIRE(sound.ways[0].filters.size() == 2);
    const CrossoverFilter &high_pass = sound.ways[0].filters[0], &low_pass = sound.ways[0].filters[1];
    CHECK_FALSE(high_pass.is_low_pass);
    CHECK(high_pass.kind == CrossoverFilter::Kind::Butterworth);
    CHECK(high_pass.frequency == 30);
    CHECK(high_pass.order == 3);
    CHECK(low_pass.is_low_pass);
    CHECK(low_pass.kind == CrossoverFilter::Kind::LinkwitzRiley);
    CHECK_THAT(low_pass.frequency, WithinRel(2200, eps));
    CHECK(low_pass.order == 4);
    CHECK(sound.ways[0].gain_dB == -3);
    CHECK_THAT(sound.ways[0].delay_s, WithinRel(1e-4, eps));
    CHECK_FALSE(sound.ways[1].is_series);
    CHECK(sound.ways[1].filters.empty());
    CHECK(sound.ways[1].gain_dB == 0);
    CHECK(sound.ways[1].delay_s == 0);
    CHECK(sound.ways[1].reversed == std::vector<bool>{true});
    REQUIRE(sound.ways[1].crossover.size() == 2);
    CHECK(sound.ways[1].crossover[0].frequency == 1000);
    CHECK(sound.ways[1].crossover[0].level == -24);
    CHECK_THAT(sound.ways[1].crossover[0].phase, WithinRel(90 * degree, eps));
    CHECK(sound.ways[1].crossover[1].phase == 0);
    CHECK_THAT(sound.floor.value(), WithinRel(0.05, eps));
    CHECK_FALSE(sound.wall.has_value());

    CHECK_THAT(sound.window.across, WithinRel(30 * degree, eps));
    CHECK_THAT(sound.window.up, WithinRel(10 * degree, eps));
    REQUIRE(sound.rest.has_value());
    CHECK(sound.rest->level_dB == 88);
    CHECK(sound.rest->from == 80);
    CHECK(sound.rest->to == 12e3);

    const CabinetPlan plain = box("sound: {frequencies: [20 Hz, 1 kHz], volts: 500 mV, wall: 20 cm}");
    CHECK(plain.sound.window.across == 0);
    CHECK_FALSE(plain.sound.rest.has_value());
    const CabinetPlan half = box("sound: {listening_window: {up: 5 deg}, rest_of_system: {level: 90 dB}}");
    CHECK(half.sound.window.across == 0);
    CHECK(half.sound.rest->to == 20e3);
    CHECK(plain.sound.frequencies == std::vector<double>{20, 1000});
    CHECK(plain.sound.volts == 0.5);
    CHECK_THAT(plain.sound.wall.value(), WithinRel(0.2, eps));
}

TEST_CASE("the file with every key sounds", "[app][input][sound]")
{
    const SoundSetting setting = build_sound(every_key(), build_cabinet(every_key()));
    CHECK(setting.ways.size() == 2);
    CHECK(setting.ways[1].drivers[0].sign == -1);
    CHECK(setting.listeners.size() == 2);
    CHECK(setting.fillings.size() == 4);
    // Reference: 3000 · 0.4^1.53 = 738.368 Pa·s/m²
    CHECK_THAT(setting.fillings[0].flow_resistivity, WithinRel(738.368, 1e-6));
    // log2(2000/30) = 6.0589 octaves: steps 0 … 72, then the end.
    CHECK(setting.frequencies.size() == 74);
    CHECK(setting.plane->name == "floor");
    CHECK_THAT(setting.window.up, WithinRel(10 * degree, eps));
    CHECK(setting.rest->from == 80);
}

TEST_CASE("the library's fillings are in the order of what is known", "[app][materials][sound]")
{
    int n = 0;
    for (const Fixing& stuff : library().fixings) {
        if (stuff.use != Fixing::Use::Filling) continue;
        ++n;
        CAPTURE(stuff.name);
        const Quantity &sigma = stuff.figure("flow_resistivity"), &density = stuff.figure("density");
        // Reference: loose wool some 100, pressed felts below 200 000 Pa·s/m²; fleeces from 4, felts to 400 kg/m³ (wide
        // bounds that catch a slip of a unit).
        CHECK(sigma.low >= 100);
        CHECK(sigma.high <= 2e5);
        CHECK(density.low >= 4);
        CHECK(density.high <= 400);
        CHECK(sigma.confirmed.find("memory") != std::string::npos);
    }
    CHECK(n >= 6);
    CHECK(find_fixing(library(), Fixing::Use::Filling, "felt").use ==
          Fixing::Use::Filling); // a support has that name, too
    CHECK_THROWS_AS(find_fixing(library(), Fixing::Use::Filling, "rubber"), MaterialError);
}
