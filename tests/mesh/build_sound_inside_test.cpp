// What `sound` needs, resolved on the built cabinet: cones in their holes, tubes of ports, fillings.

#include "tests/mesh/sound_fixture.h"

using namespace sound_fixture;

TEST_CASE("a cone may be half larger than its hole", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    // π/4 · 140² mm² = 153.94 cm², times 1.5: 230.9
    plan.openings[0].insert.small_signal = figures(230e-4);
    CHECK(refusal(plan) == "accepted");
    plan.openings[0].insert.small_signal = figures(232e-4);
    CHECK(refusal(plan) ==
          "box.yaml:50:3: openings.woofer.driver.Sd: 232 cm2 is more than 1.5 times the hole of 153.9 cm2; check both");
    plan.openings[0].insert.small_signal = figures(130e-4);
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 200)};
    OpeningPlan inner = hole("inner", "shelf", 100);
    plan.openings.push_back(driver(inner, 50e-4));
    CHECK(refusal(plan) == "box.yaml:50:3: openings.inner: sits in 'shelf' inside the cabinet; cones and ports are "
                           "computed in outer walls only");
}

TEST_CASE("a port's tube ends inside with half its radius to spare", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    // Round, 60 mm across, in the back: the front's inner face lies 282 mm behind the outer one; less 15 mm leaves 267
    // mm.
    plan.openings.push_back(port(hole_xz("port", "back", 60, 120, 200), 266.9));
    CHECK(refusal(plan) == "accepted");
    plan.openings.back() = port(hole_xz("port", "back", 60, 120, 200), 270);
    CHECK(refusal(plan) == "box.yaml:50:3: openings.port.port.length: 270 mm leaves 12 mm to 'front'; at most 267 mm "
                           "is possible, which leaves half "
                           "the port's radius, 15 mm");
    plan.openings.back() = port(hole_xz("port", "back", 60, 120, 200), 400);
    CHECK(refusal(plan).find("400 mm runs 118 mm into 'front'; at most 267 mm") != std::string::npos);
    plan.openings.back() = port(hole_xz("port", "back", 60, 120, 200), 15);
    CHECK(refusal(plan).find("is less than the board's thickness of 18 mm, got 15 mm") != std::string::npos);
    plan.openings.back().insert.port_length.reset(); // a bare hole
    CHECK(refusal(plan) == "accepted");

    // A plate across the way stops it at its near face (y 159 mm: 141 mm), a window in it does not.
    plan.braces = {brace("wall", BracePlan::Plane::SideToSide, 150)};
    plan.openings.back() = port(hole_xz("port", "back", 60, 120, 200), 200);
    CHECK(refusal(plan).find("200 mm runs 59 mm into 'wall'; at most 126 mm") != std::string::npos);
    plan.openings.push_back(hole_xz("window", "wall", 80, 120, 200));
    CHECK(refusal(plan) == "accepted");
    // The window is smaller than the tube: its rim hits.
    plan.openings.back() = hole_xz("window", "wall", 50, 120, 200);
    CHECK(refusal(plan).find("into 'wall'") != std::string::npos);
    // A shelf edge-on before the rim: it begins at the back's inner face, 18 mm behind the outer one.
    plan.openings.pop_back();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 225)};
    CHECK(refusal(plan).find(
              "into 'shelf'; half the port's radius, 15 mm, must stay free: there is no room for a tube") !=
          std::string::npos);
}

TEST_CASE("fillings: packing, linings, regions", "[mesh][sound]")
{
    CabinetPlan plan = two_way();
    plan.sound.fillings = {filling("back", 30), filling("", 0), filling("", 0)};
    plan.sound.fillings[0].amount = 0.5;
    plan.sound.fillings[2].z_to = 0.19;
    plan.sound.fillings[2].x_from = 0.1;
    SoundSetting s = setting(plan);
    REQUIRE(s.fillings.size() == 3);
    CHECK(s.fillings[0].board == 2);
    CHECK_THAT(s.fillings[0].thickness, WithinAbs(0.03, round_off)); // Exact: as written
    // Reference: by hand, 4000 · 0.5^1.53 = 4000 · 0.346277. Tolerance: its six digits.
    CHECK_THAT(s.fillings[0].flow_resistivity, WithinRel(1385.11, 1e-5));
    CHECK(!s.fillings[1].board.has_value());
    CHECK(s.fillings[1].flow_resistivity == 4000);
    check_near(s.fillings[1].low, 0.018, 0.018, 0.018);
    check_near(s.fillings[1].high, 0.222, 0.282, 0.362);
    check_near(s.fillings[2].low, 0.1, 0.018, 0.018);
    check_near(s.fillings[2].high, 0.222, 0.282, 0.19);

    const auto told = [&](const FillingPlan& one) {
        plan.sound.fillings = {one};
        return refusal(plan);
    };
    CHECK(told(filling("back", 132)) == "accepted"); // half of 264 mm
    CHECK(told(filling("back", 133)) ==
          "box.yaml:95:3: air.filling.wool.thickness: must be above 0 and at most half the clear 264 mm "
          "before 'back', got 133 mm; fill a region "
          "from … to … instead");
    CHECK(told(filling("bakc", 20)).find("did you mean 'back'?") != std::string::npos);
    FillingPlan outside = filling("", 0);
    outside.z_from = 0.37;
    CHECK(
        told(outside) ==
        "box.yaml:95:3: air.filling.wool: its region has no room along z: the air inside reaches from 18 mm to 362 mm");
    FillingPlan full = filling("back", 20);
    full.amount = 1.2;
    CHECK(told(full).find("above 0 and at most 100 %") != std::string::npos);
    full.amount = 0;
    CHECK(told(full).find("above 0 and at most 100 %") != std::string::npos);
}
