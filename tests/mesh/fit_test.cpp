// What meets what: drivers' bodies, flanges and screws, plates, bars, tubes. Every figure follows by hand from the box:
// 240 × 380 × 300 mm of 18 mm, a hole of 150 mm about x 120, z 150 in its front, so that the body is a cone from 150 mm
// at the outer face (y = 0) to the magnet's 100 mm at its depth.

#include "build_fixture.h"
#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>

using namespace build_fixture;

namespace {

OpeningPlan woofer(double depth_mm)
{
    OpeningPlan plan = hole_xz("woofer", "front", 150, 120, 150);
    plan.insert.kind = InsertPlan::Kind::Driver;
    plan.insert.mass = 2;
    if (depth_mm > 0) {
        plan.insert.body.depth = depth_mm * mm;
        plan.insert.body.magnet_diameter = 100 * mm;
    }
    return plan;
}

CabinetPlan box_with(OpeningPlan driver)
{
    CabinetPlan plan = box_plan();
    plan.openings.push_back(std::move(driver));
    return plan;
}

std::vector<Clash> found(const CabinetPlan& plan, double spare_mm = 0)
{
    return clashes(build_cabinet(plan), spare_mm * mm);
}

bool meets(const std::vector<Clash>& list, const std::string& part, const std::string& other)
{
    return std::any_of(list.begin(), list.end(),
                       [&](const Clash& c) { return c.part == part && c.other.find(other) != std::string::npos; });
}

std::string refusal(const CabinetPlan& plan)
{
    try {
        check_whole(plan);
        return "accepted";
    } catch (const InputError& error) {
        return error.what();
    }
}

} // namespace

TEST_CASE("a shelf meets a driver's hole to its edge, and no further", "[mesh][fit]")
{
    // The shelf's lower face must pass the hole's upper edge: z − 9 ≥ 150 + 75, so it is free from 234 mm on; on the
    // other side up to 150 − 75 − 9 = 66 mm.
    const auto at = [](double z_mm, double spare_mm = 0) {
        CabinetPlan plan = box_with(woofer(90));
        plan.braces.push_back(brace("shelf", BracePlan::Plane::Horizontal, z_mm));
        return found(plan, spare_mm);
    };
    CHECK(meets(at(200), "braces.shelf", "hole 'woofer'"));
    CHECK(meets(at(233.5), "braces.shelf", "hole 'woofer'"));
    CHECK(at(234.5).empty());
    CHECK(meets(at(66.5), "braces.shelf", "hole 'woofer'"));
    CHECK(at(65.5).empty());
    // Room to spare: five more.
    CHECK(meets(at(238.5, 5), "braces.shelf", "hole 'woofer'"));
    CHECK(at(239.5, 5).empty());
    // The cone behind is narrower: 75 − 25·18/90 = 70 mm at the inner face, so at 232 mm only the hole is met.
    CHECK_FALSE(meets(at(232), "braces.shelf", "driver 'woofer'"));
    CHECK(meets(at(225), "braces.shelf", "driver 'woofer'"));
}

TEST_CASE("a refused shelf is told where it may stand", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    plan.braces.push_back(brace("shelf", BracePlan::Plane::Horizontal, 200));
    CHECK(refusal(plan) == "box.yaml:40:3: braces.shelf: runs into the hole 'woofer' in 'front'; move it to 234 mm or "
                           "66 mm, or let it be cut out there by 'notched: yes'");
    plan.braces.back().at = 234 * mm;
    CHECK(refusal(plan) == "accepted");
    plan.braces.back().at = 66 * mm;
    CHECK(refusal(plan) == "accepted");
}

TEST_CASE("a window lets a driver through, a frame does not", "[mesh][fit]")
{
    const auto with_window = [](double y_mm) {
        CabinetPlan plan = box_with(woofer(90));
        plan.braces.push_back(brace("frame", BracePlan::Plane::SideToSide, y_mm));
        plan.openings.push_back(hole_xz("window", "frame", 130, 120, 150));
        return found(plan);
    };
    // At the frame's front face, 71 mm behind the outer one, the cone is 150 − 50·71/90 = 110.6 mm wide and passes the
    // window of 130 mm; at 24 mm it is 136.7 mm wide.
    CHECK(with_window(80).empty());
    CHECK(meets(with_window(33), "braces.frame", "driver 'woofer'"));
}

TEST_CASE("a driver too deep for the box is told how deep one may be", "[mesh][fit]")
{
    // Inside the back's inner face at y = 282.
    CHECK(found(box_with(woofer(281))).empty());
    CHECK(refusal(box_with(woofer(290))) ==
          "box.yaml:50:3: openings.woofer.driver.depth: the driver runs into 'back'; at "
          "most 282 mm behind its flange are free");
    OpeningPlan let_in = woofer(280);
    let_in.insert.body.flange_diameter = 170 * mm;
    let_in.insert.body.recess = 5 * mm;
    CHECK_THAT(refusal(box_with(let_in)), Catch::Matchers::Contains("at most 277 mm"));
}

TEST_CASE("where a driver's size is not given a clash is no error", "[mesh][fit]")
{
    // 0.4 · 150 + 20 = 80 mm deep: a shelf that begins at 60 mm meets it, one that begins at 85 does not.
    const auto from_y = [](double y_mm) {
        CabinetPlan plan = box_with(woofer(0));
        plan.braces.push_back(brace("shelf", BracePlan::Plane::Horizontal, 150));
        plan.braces.back().y_from = y_mm * mm;
        return plan;
    };
    CHECK(found(from_y(85)).empty());
    const std::vector<Clash> list = found(from_y(60));
    REQUIRE(list.size() == 1);
    CHECK_FALSE(list[0].is_certain);
    CHECK_THAT(list[0].problem, Catch::Matchers::Contains("own estimate of 'woofer': 80 mm deep, magnet 97.5 mm"));
    CHECK(refusal(from_y(60)) == "accepted");
}

TEST_CASE("bars, tubes and other drivers meet a driver", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    RodPlan rod;
    rod.name = "rod";
    rod.diameter = 20 * mm;
    rod.from = Vector3d(9, 60, 150) * mm;
    rod.to = Vector3d(231, 60, 150) * mm;
    plan.rods = {rod};
    CHECK(meets(found(plan), "rods.rod", "driver 'woofer'"));
    // Behind the magnet it is free from y = 90 + 10 on.
    CHECK_THAT(refusal(plan), Catch::Matchers::Contains("move it by +41 mm in y"));
    plan.rods[0].from.y() = plan.rods[0].to.y() = 102 * mm;
    CHECK(found(plan).empty());
    plan.rods.clear();

    OpeningPlan side = hole("side woofer", "left", 120);
    side.y = 150 * mm;
    side.z = 150 * mm;
    side.insert = woofer(200).insert;
    side.insert.body.depth = 150 * mm;
    plan.openings.push_back(side);
    CHECK(found(plan).empty()); // 150 − 60 = 90: its cone begins where the other ends
    plan.openings[0].insert.body.depth = 160 * mm;
    CHECK(meets(found(plan), "openings.woofer", "driver 'side woofer'"));
    plan.openings[1].z = 300 * mm;
    CHECK(found(plan).empty());

    OpeningPlan port = hole("port", "right", 50);
    port.y = 100 * mm;
    port.z = 150 * mm;
    port.insert.kind = InsertPlan::Kind::Port;
    port.insert.port_length = 50 * mm; // to x = 190; the cone's edge there, at y 75, is 120 + 63
    plan.openings.push_back(port);
    CHECK(found(plan).empty());
    plan.openings.back().insert.port_length = 120 * mm;
    CHECK(meets(found(plan), "openings.woofer", "tube of 'port'"));
}

TEST_CASE("a rib beside a hole, by its width", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    RibPlan rib;
    rib.name = "rib";
    rib.board = "front";
    rib.x1 = 40 * mm;
    rib.z1 = rib.z2 = 240 * mm; // 15 mm over the hole's edge
    rib.x2 = 200 * mm;
    rib.width = 20 * mm;
    rib.height = 30 * mm;
    plan.ribs = {rib};
    CHECK(found(plan).empty());
    plan.ribs[0].z1 = plan.ribs[0].z2 = 234 * mm; // 9 mm, less than half its width
    CHECK(meets(found(plan), "ribs.rib", "hole 'woofer'"));
}

TEST_CASE("flanges stay on the face, off each other and off holes", "[mesh][fit]")
{
    OpeningPlan driver = woofer(90);
    driver.insert.body.flange_diameter = 170 * mm;
    CabinetPlan plan = box_with(driver);
    CHECK(found(plan).empty());
    OpeningPlan tweeter = hole_xz("tweeter", "front", 60, 120, 290);
    tweeter.insert = driver.insert;
    tweeter.insert.body = {};
    plan.openings.push_back(tweeter); // from 260; the flange ends at 235
    CHECK(found(plan).empty());
    plan.openings[1].insert.body.flange_diameter = 100 * mm; // from 240
    CHECK(found(plan).empty());
    plan.openings[1].insert.body.flange_diameter = 116 * mm; // from 232
    REQUIRE(found(plan).size() == 1);
    CHECK(found(plan)[0].problem == "the flange lies 3 mm over the flange of 'tweeter'; move them apart by 3 mm");
    plan.openings.pop_back();

    plan.openings[0].x = 96 * mm; // hole from 21, flange to 11 from the edge: free on the face
    CHECK(found(plan).empty());
    plan.openings[0].insert.body.flange_diameter = 200 * mm;
    REQUIRE(found(plan).size() == 1);
    CHECK_THAT(found(plan)[0].problem, Catch::Matchers::Contains("4 mm over the edge of 'front'"));
}

TEST_CASE("screws keep off the board's edge", "[mesh][fit]")
{
    OpeningPlan driver = woofer(90);
    driver.z = 95 * mm;
    driver.insert.body.screws = ScrewCircle{4, 184 * mm, 4 * mm}; // the lowest at 3 mm, its edge at 1 mm
    CHECK(found(box_with(driver)).empty());
    driver.z = 94.5 * mm;
    const std::vector<Clash> list = found(box_with(driver));
    REQUIRE(list.size() == 1);
    CHECK_THAT(list[0].problem,
               Catch::Matchers::Contains("screw 3 (of 4, round from straight up by the left) leaves 0.5 mm"));
}

TEST_CASE("a rebate takes its ring out of the board's mass and nothing out of the box", "[mesh][fit]")
{
    OpeningPlan driver = woofer(90);
    driver.insert.body.flange_diameter = 170 * mm;
    const Bookkeeping flush = bookkeeping(build_cabinet(box_with(driver)));
    driver.insert.body.recess = 5 * mm;
    const Bookkeeping let_in = bookkeeping(build_cabinet(box_with(driver)));
    // Reference: ρ π/4 (0.17² − 0.15²) · 5 mm, ρ 750 kg/m³. Tolerance: round-off of sums.
    const double ring = 750 * std::numbers::pi / 4 * (0.17 * 0.17 - 0.15 * 0.15) * 0.005;
    CHECK_THAT(part_mass(flush, "front") - part_mass(let_in, "front"), WithinAbs(ring, 1e-12));
    CHECK_THAT(let_in.net_volume_m3, WithinAbs(flush.net_volume_m3, 1e-15));
    // Reference: the rebate's polygon has the flange's area. Tolerance: round-off.
    CHECK_THAT(area(rebate_region(build_cabinet(box_with(driver)).boards[0].openings[0])),
               WithinRel(std::numbers::pi / 4 * 0.17 * 0.17, 1e-12));
}

TEST_CASE("a notched shelf is cut out round the driver, with room to spare", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    plan.braces.push_back(brace("shelf", BracePlan::Plane::Horizontal, 150));
    plan.braces.back().notched = true;
    const Cabinet cabinet = build_cabinet(plan);
    CHECK(clashes(cabinet, 0).empty());
    CHECK(refusal(plan) == "accepted");
    const Board& shelf = board(cabinet, "shelf");
    // Reference: 204 × 264 mm less a notch of the hole's 150 + 2·5 mm, to 90 + 5 mm behind the outer face, 77 behind
    // the inner one. Tolerance: round-off.
    const double sawn = 0.204 * 0.264 - 0.160 * 0.077;
    CHECK_THAT(area(shelf.sawn), WithinAbs(sawn, 1e-9));
    CHECK_THAT(part_mass(bookkeeping(cabinet), "shelf"), WithinRel(750 * 0.018 * sawn, 1e-9));
    // Two pieces of joint are left at the front, each from the side's middle at 9 mm to the notch at 40 mm.
    const std::vector<Junction> at_front = joints(cabinet, "shelf", "front");
    REQUIRE(at_front.size() == 2);
    for (const Junction& j : at_front) CHECK_THAT(length(j), WithinAbs(0.031, round_off));
    // Reference: the plate as it stands elsewhere, without a notch. Tolerance: none, it is the same path.
    plan.braces.back().at = 300 * mm;
    CHECK(board(build_cabinet(plan), "shelf").notches.empty());
}

TEST_CASE("what no notch can let through is refused with the mend", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    plan.braces.push_back(brace("plate", BracePlan::Plane::SideToSide, 60));
    plan.braces.back().notched = true;
    CHECK_THAT(refusal(plan), Catch::Matchers::Contains("braces.plate.notched: no notch from its edge lets 'woofer'") &&
                                  Catch::Matchers::Contains("give it a window"));
}

TEST_CASE("a changed plan keeps the room the drawn one keeps", "[mesh][fit]")
{
    CabinetPlan plan = box_with(woofer(90));
    plan.braces.push_back(brace("shelf", BracePlan::Plane::Horizontal, 250));
    const Cabinet drawn = build_cabinet(plan);
    const auto at = [&](double z_mm) {
        CabinetPlan changed = plan;
        changed.braces[0].at = z_mm * mm;
        return changed;
    };
    CHECK(fits_with_room(at(240), drawn, proposed_room));
    CHECK_FALSE(fits_with_room(at(237), drawn, proposed_room));
    // Drawn at 3 mm by the user: he knows.
    CHECK(fits_with_room(at(237), build_cabinet(at(236)), proposed_room));
    CHECK_FALSE(fits_with_room(at(230), build_cabinet(at(236)), proposed_room));
}
