// What `sound` needs, resolved on the built cabinet: drive, ways, listeners, planes.

#include "tests/mesh/sound_fixture.h"

using namespace sound_fixture;

TEST_CASE("defaults: all drivers on 2.83 V, one listener 1 m before their middle", "[mesh][sound]")
{
    const SoundSetting s = setting(two_way());
    REQUIRE(s.ways.size() == 1);
    REQUIRE(s.ways[0].drivers.size() == 2);
    CHECK(s.ways[0].drivers[1].board == 0);
    CHECK(s.ways[0].drivers[1].opening == 1);
    CHECK(s.ways[0].drivers[1].sign == 1);
    CHECK_FALSE(s.ways[0].is_series);
    CHECK(s.volts == 2.83);
    CHECK_FALSE(s.level_dB.has_value());
    CHECK_FALSE(s.plane.has_value());
    REQUIRE(s.listeners.size() == 1);
    check_near(s.listeners[0].at, 0.12, -1, 0.195); // middle of z 110 and 280 mm, on the outer face at y 0
    check_near(s.level_at, 0.12, -1, 0.195);
}

TEST_CASE("the grid rises by the octave's parts and ends at its end", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.sound.f_from = 100, plan.sound.f_to = 1000, plan.sound.per_octave = 3;
    // Reference: log2(10) = 3.32 octaves: steps 0 … 9 lie below 1 kHz (the last at 800 Hz), then the end itself.
    // Tolerance: round-off of one power.
    const std::vector<double> f = setting(plan).frequencies;
    REQUIRE(f.size() == 11);
    CHECK(f.front() == 100);
    CHECK_THAT(f[1], WithinRel(125.99210498948732, 1e-14)); // 100 · ∛2
    CHECK_THAT(f[9], WithinRel(800.0, 1e-14));
    CHECK(f.back() == 1000);
    plan.sound.f_to = 800; // the end is a step itself and comes once
    CHECK(setting(plan).frequencies.size() == 10);
    plan.sound.frequencies = {50, 70};
    CHECK(setting(plan).frequencies == std::vector<double>{50, 70});
}

TEST_CASE("directions are taken from the front's normal, right is x", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    // Reference: polar coordinates by hand, sin 30° = 1/2.
    const double c30 = std::sqrt(3) / 2;
    plan.sound.listeners = {listener(30, 0), listener(0, 30), listener(-30, 0), listener(180, 0)};
    ListenerPlan before = listener(0, 0);
    before.in_front_of = "tweeter";
    plan.sound.listeners.push_back(before);
    ListenerPlan placed;
    placed.name = "there";
    placed.at = Vector3d(1, 2, 3);
    plan.sound.listeners.push_back(placed);
    const SoundSetting s = setting(plan);
    check_near(s.listeners[0].at, 0.12 + 1, -2 * c30, 0.195);
    check_near(s.listeners[1].at, 0.12, -2 * c30, 0.195 + 1);
    check_near(s.listeners[2].at, 0.12 - 1, -2 * c30, 0.195);
    check_near(s.listeners[3].at, 0.12, 2, 0.195);
    check_near(s.listeners[4].at, 0.12, -2, 0.28);
    check_near(s.listeners[5].at, 1, 2, 3);
}

TEST_CASE("a leaning front looks up, a side looks sideways", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.baffle_slope = 10 * std::numbers::pi / 180;
    const double c = std::cos(plan.baffle_slope), s10 = std::sin(plan.baffle_slope);
    // z runs up the face from its lower outer edge, the normal points forward and up.
    check_near(setting(plan).level_at, 0.12, 0.195 * s10 - c, 0.195 * c + s10);

    plan = box_plan();
    OpeningPlan side = hole("side", "right", 140);
    side.y = 0.1, side.z = 0.2;
    plan.openings = {driver(side, 130e-4)};
    plan.sound.listeners = {listener(90, 0)}; // right of one who looks out of the right side is the back
    const SoundSetting s = setting(plan);
    check_near(s.level_at, 0.24 + 1, 0.1, 0.2);
    check_near(s.listeners[0].at, 0.24, 0.1 + 2, 0.2);
}

TEST_CASE("ways by index, with signs and wiring", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.sound.ways = {way("low", {"woofer"}), way("high", {"tweeter"})};
    plan.sound.ways[1].reversed = {true};
    plan.sound.ways[1].is_series = true;
    plan.sound.ways[1].crossover = {{1000, -20, 0}, {3000, 0, 1}};
    const SoundSetting s = setting(plan);
    REQUIRE(s.ways.size() == 2);
    CHECK(s.ways[0].drivers[0].opening == 0);
    CHECK(s.ways[0].drivers[0].sign == 1);
    CHECK(s.ways[1].drivers[0].opening == 1);
    CHECK(s.ways[1].drivers[0].sign == -1);
    CHECK(s.ways[1].is_series);
    CHECK(s.ways[1].crossover.size() == 2);

    plan.sound.ways[1].drivers = {"woofer"};
    CHECK(refusal(plan) == "box.yaml:90:3: sound.ways.high.drivers: driver 'woofer' is already connected");
    plan.sound.ways[1].drivers = {"tweetre"};
    CHECK(refusal(plan) ==
          "box.yaml:90:3: sound.ways.high.drivers: there is no driver 'tweetre'; did you mean 'tweeter'?");
    plan.sound.ways[1].drivers = {"tweeter"};
    plan.sound.ways[1].crossover = {{1000, 0, 0}, {1000, 0, 0}};
    CHECK(refusal(plan) ==
          "box.yaml:90:3: sound.ways.high.crossover: frequencies must rise, got 1000 Hz after 1000 Hz");
    plan.sound.ways[1].crossover = {{1000, 0, 0}};
    plan.sound.ways[1].filters = {{CrossoverFilter::Kind::LinkwitzRiley, true, 2000, 4}};
    CHECK(refusal(plan) ==
          "box.yaml:90:3: sound.ways.high.crossover: points and filters by name do not mix in one list");
    plan.sound.ways[1].crossover.clear();
    CHECK(refusal(plan) == "accepted");
    plan.sound.ways[1].filters[0].order = 3;
    CHECK(refusal(plan) == "box.yaml:90:3: sound.ways.high.crossover: there is no filter of this frequency and order");
    plan.sound.ways[1].filters.clear();
    plan.sound.ways[1].delay_s = -1;
    CHECK(refusal(plan) ==
          "box.yaml:90:3: sound.ways.high: gain and delay must be finite, and a delay is not negative");
    plan.openings[1].insert.small_signal.reset();
    plan.sound.ways[1].delay_s = 0;
    CHECK(refusal(plan) == "box.yaml:90:3: sound.ways.high.drivers: driver 'tweeter' has no figures; give it Re, Bl, "
                           "Mms, Cms, Qms and Sd (or "
                           "others from which these follow) in its 'driver'");
}

TEST_CASE("drive and frequencies that make no sense", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.sound.volts = 0;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.volts: must be above zero, or nothing moves");
    plan.sound.volts = 1;
    plan.sound.level_dB = 90;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.level: give either volts or level");
    plan.sound.volts.reset();
    CHECK(setting(plan).level_dB == 90);
    CHECK_FALSE(setting(plan).volts.has_value());
    plan.sound.f_to = 150;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.level_band: none of the frequencies lies between 200 Hz and 2000 Hz, "
                           "where the level is to hold");
    plan = two_way();
    plan.sound.f_from = 3000;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.from: 3000 Hz is not below 'to', which is 3000 Hz");
    plan.sound.frequencies = {100, 100};
    CHECK(refusal(plan) == "box.yaml:1:3: sound.frequencies: must rise, got 100 Hz after 100 Hz");
    plan = box_plan();
    CHECK(refusal(plan) == "box.yaml:1:3: openings: no driver can be driven; give one Re, Bl, Mms, Cms, Qms and Sd (or "
                           "others from which these "
                           "follow) in its 'driver'");
}

TEST_CASE("listening windows and other speakers that make no sense", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.sound.window.across = 2;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.listening_window: opens by 0 to 90 degrees");
    plan.sound.window.across = 0.5;
    plan.sound.rest = RestOfSystem{90, 80, 80};
    CHECK(refusal(plan) == "box.yaml:1:3: sound.rest_of_system: needs a level, and a band that rises");
    plan.sound.rest->to = 200;
    CHECK(refusal(plan) == "accepted");
}

TEST_CASE("floor below the lowest point, wall behind the rearmost", "[mesh][sound]")
{
    // Exact: by hand from the drawing; one sum rounds.
    CabinetPlan plan = two_way();
    plan.sound.floor = 0.05;
    SoundSetting s = setting(plan);
    REQUIRE(s.plane.has_value());
    CHECK(s.plane->name == "floor");
    CHECK_THAT(s.plane->point.z(), WithinAbs(-0.05, round_off));
    CHECK(s.plane->normal == Vector3d(0, 0, 1));
    plan.sound.wall = 0.3;
    CHECK(refusal(plan) == "box.yaml:1:3: sound.wall: give either floor or wall, one rigid plane can be computed");
    plan.sound.floor.reset();
    s = setting(plan);
    CHECK(s.plane->name == "wall");
    CHECK_THAT(s.plane->point.y(), WithinAbs(0.6, round_off)); // 300 mm deep and 300 mm behind
    CHECK(s.plane->normal == Vector3d(0, -1, 0));
    plan.sound.listeners = {listener(180, 0, 0.7)};
    CHECK(refusal(plan) ==
          "box.yaml:80:3: sound.listeners.seat: listens 100 mm behind the wall, at x 120 mm, y 700 mm, z 195 mm");
    plan.sound.wall.reset();
    plan.sound.floor = 0;
    plan.sound.listeners = {listener(0, -30, 1)};
    CHECK(refusal(plan) ==
          "box.yaml:80:3: sound.listeners.seat: listens 305 mm below the floor, at x 120 mm, y -866.03 mm, z -305 mm");
}

TEST_CASE("a driver that faces the floor is heard from the front; on the floor it is refused", "[mesh][sound]")
{
    CabinetPlan plan = box_plan();
    OpeningPlan below = hole("sub", "bottom", 140);
    below.x = 0.12, below.y = 0.15;
    plan.openings = {driver(below, 130e-4)};
    check_near(setting(plan).level_at, 0.12, 0.15, -1);
    plan.sound.floor = 0.05;
    check_near(setting(plan).level_at, 0.12, 0.15 - 1, 0);
    plan.sound.floor = 0;
    CHECK(
        refusal(plan) ==
        "box.yaml:1:3: sound.floor: opening 'sub' in 'bottom' stands on the floor and would be shut; leave a distance");
}

TEST_CASE("nobody listens in the cabinet or close to it", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    ListenerPlan seat = listener(0, 0);
    const auto told = [&](double x, double y, double z) {
        seat.at = Vector3d(x, y, z);
        plan.sound.listeners = {seat};
        return refusal(plan);
    };
    CHECK(told(0.12, 0.15, 0.19) ==
          "box.yaml:80:3: sound.listeners.seat: listens inside the cabinet, at x 120 mm, y 150 mm, z 190 mm");
    CHECK(told(0.12, -0.005, 0.19) ==
          "box.yaml:80:3: sound.listeners.seat: listens 5 mm from the cabinet, at least 10 mm is needed; it "
          "stands at x 120 mm, y -5 mm, z 190 mm");
    CHECK(told(0.12, -0.011, 0.19) == "accepted");
    // Beside a corner: 7 mm and 7 mm off make 9.9 mm, 8 mm and 8 mm 11.3 mm.
    CHECK(told(-0.007, -0.007, 0.19).find("listens 9.9 mm") != std::string::npos);
    CHECK(told(-0.008, -0.008, 0.19) == "accepted");
}

TEST_CASE("the notch of an L is outside", "[mesh][sound]")
{
    CabinetPlan plan = l_plan();
    OpeningPlan front = hole("woofer", "w0", 140);
    front.along = 0.15, front.z = 0.2;
    plan.openings = {driver(front, 130e-4)};
    ListenerPlan seat = listener(0, 0);
    seat.at = Vector3d(0.25, 0.25, 0.2); // within the bounding box, 100 mm from both walls of the notch
    plan.sound.listeners = {seat};
    CHECK(refusal(plan) == "accepted");
    plan.sound.listeners[0].at = Vector3d(0.1, 0.25, 0.2);
    CHECK(refusal(plan).find("listens inside the cabinet") != std::string::npos);
}

TEST_CASE("a leaning front bounds the outside exactly", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.baffle_slope = 10 * std::numbers::pi / 180;
    // At z 300 mm the outer face stands at y = 300 tan 10° = 52.898 mm; square to it a point at y is (52.898 − y) cos
    // 10° off.
    const double face = 0.3 * std::tan(plan.baffle_slope);
    ListenerPlan seat = listener(0, 0);
    seat.at = Vector3d(0.12, face - 0.0100 / std::cos(plan.baffle_slope) - 1e-9, 0.3);
    plan.sound.listeners = {seat};
    CHECK(refusal(plan) == "accepted");
    plan.sound.listeners[0].at->y() += 1e-4;
    CHECK(refusal(plan).find("listens 9.9 mm from the cabinet") != std::string::npos);
    plan.sound.listeners[0].at->y() = face + 1e-6;
    CHECK(refusal(plan).find("inside") != std::string::npos);
}
