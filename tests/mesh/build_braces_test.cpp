#include "tests/mesh/build_fixture.h"

#include <Eigen/Geometry>

using namespace build_fixture;
using BracePlane = BracePlan::Plane;

// Reference in this file, where not said otherwise: lengths added up by hand from the box's sizes (mm).
// Tolerance: round-off of coordinates (absolute) or of a few products (relative).

namespace {

int count(const Cabinet& cabinet, const char* name, Junction::Kind kind)
{
    const int index = cabinet.board_index(name).value();
    int n = 0;
    for (const Junction& j : cabinet.junctions) n += j.kind == kind && (j.ending == index || j.passing == index);
    return n;
}

} // namespace

TEST_CASE("a shelf ends on four walls", "[mesh][build]")
{
    CabinetPlan plan = box_plan({.front = 30, .back = 12});
    plan.braces = {brace("shelf", BracePlane::Horizontal, 205, 16)};
    const Cabinet cabinet = build_cabinet(plan);
    const Board& shelf = board(cabinet, "shelf");
    CHECK(shelf.kind == Board::Kind::Brace);
    CHECK_THAT(area(shelf.outline), WithinAbs(0.222 * 0.279, round_off));
    CHECK_THAT(area(shelf.sawn), WithinAbs(0.204 * 0.258, round_off));
    CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 4);
    const std::vector<Junction> tee = joints(cabinet, "shelf", "front");
    REQUIRE(tee.size() == 1);
    CHECK(tee[0].kind == Junction::Kind::Tee);
    CHECK(tee[0].passing == 0);
    CHECK_THAT(tee[0].overlap_passing, WithinAbs(8 * mm, round_off));
    CHECK_THAT(tee[0].overlap_ending, WithinAbs(15 * mm, round_off));
    CHECK_THAT(tee[0].angle, WithinAbs(std::numbers::pi / 2, 1e-7)); // asin near 1 loses half the digits
    CHECK_THAT(length(tee[0]), WithinAbs(0.222, round_off));
}

TEST_CASE("limits leave free edges, unless they fall on a wall", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    SECTION("a half shelf")
    {
        plan.braces = {brace("shelf", BracePlane::Horizontal, 205)};
        plan.braces[0].y_to = 150 * mm;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(area(board(cabinet, "shelf").outline), WithinAbs(0.222 * 0.141, round_off));
        CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinAbs(0.204 * 0.132, round_off));
        CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 3);
        CHECK_THAT(length(joints(cabinet, "shelf", "left")[0]), WithinAbs(0.141, round_off));
        CHECK_THAT(part_mass(bookkeeping(cabinet), "shelf"), WithinRel(0.204 * 0.132 * 0.018 * 750, 1e-12));
    }
    SECTION("limits in the thickness of walls, or 0.5 mm before the inner face")
    {
        plan.braces = {brace("shelf", BracePlane::Horizontal, 205)};
        plan.braces[0].x_from = 12 * mm;
        plan.braces[0].x_to = 222 * mm;
        plan.braces[0].y_to = 281.5 * mm;
        plan.braces[0].y_from = 0.0;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 4);
        CHECK_THAT(area(board(cabinet, "shelf").outline), WithinAbs(0.222 * 0.282, round_off));
    }
    SECTION("a bridge between the sides")
    {
        plan.braces = {brace("bridge", BracePlane::SideToSide, 150)};
        plan.braces[0].z_from = 200 * mm;
        plan.braces[0].z_to = 260 * mm;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK(count(cabinet, "bridge", Junction::Kind::Tee) == 2);
        const Board& bridge = board(cabinet, "bridge");
        CHECK_THAT(area(bridge.outline), WithinAbs(0.222 * 0.06, round_off));
        CHECK((bridge.frame.n + Vector3d::UnitY()).norm() == 0);
        CHECK((bridge.frame.e2 - Vector3d::UnitZ()).norm() == 0);
    }
    SECTION("two limits that leave a plate at the bottom and a limit across a tapered side")
    {
        plan.outline[2].x() = 200 * mm;
        plan.braces = {brace("shelf", BracePlane::Horizontal, 205)};
        plan.braces[0].x_to = 120 * mm;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 3);
        CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinAbs(0.102 * 0.264, round_off));
    }
}

TEST_CASE("braces that end at braces", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("partition", BracePlane::FrontToBack, 100, 16), brace("shelf", BracePlane::Horizontal, 205)};
    SECTION("by name: the larger side is kept")
    {
        plan.braces[1].ends_at = {"partition"};
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(area(board(cabinet, "shelf").outline), WithinAbs(0.131 * 0.282, round_off));
        CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinAbs(0.114 * 0.264, round_off));
        const std::vector<Junction> tee = joints(cabinet, "shelf", "partition");
        REQUIRE(tee.size() == 1);
        CHECK(tee[0].kind == Junction::Kind::Tee);
        CHECK(tee[0].passing == cabinet.board_index("partition"));
        CHECK_THAT(tee[0].overlap_ending, WithinAbs(8 * mm, round_off));
        CHECK_THAT(part_mass(bookkeeping(cabinet), "shelf"), WithinRel(0.114 * 0.264 * 0.018 * 750, 1e-12));
    }
    SECTION("by name: the limit says which side")
    {
        plan.braces[1].ends_at = {"partition"};
        plan.braces[1].x_from = 0.0;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinAbs(0.074 * 0.264, round_off));
    }
    SECTION("by a limit at its face")
    {
        plan.braces[1].x_to = 92 * mm;
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(area(board(cabinet, "shelf").outline), WithinAbs(0.091 * 0.282, round_off));
        CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 4);
    }
    SECTION("at each other: a corner, the earlier one covers")
    {
        plan.braces[0].ends_at = {"shelf"};
        plan.braces[1].ends_at = {"partition"};
        const Cabinet cabinet = build_cabinet(plan);
        const std::vector<Junction> corner = joints(cabinet, "shelf", "partition");
        REQUIRE(corner.size() == 1);
        CHECK(corner[0].kind == Junction::Kind::Corner);
        CHECK(corner[0].passing == cabinet.board_index("partition"));
        // Larger sides: partition below the shelf up to its upper face at 214; shelf from 108 to 222.
        const Bookkeeping book = bookkeeping(cabinet);
        CHECK_THAT(part_mass(book, "partition"), WithinRel(0.264 * (0.214 - 0.018) * 0.016 * 750, 1e-12));
        CHECK_THAT(part_mass(book, "shelf"), WithinRel(0.264 * 0.114 * 0.018 * 750, 1e-12));
    }
    SECTION("a partition that is too short holds only part of the edge")
    {
        plan.braces[0].y_to = 150 * mm;
        plan.braces[1].ends_at = {"partition"};
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(length(joints(cabinet, "shelf", "partition")[0]), WithinAbs(0.141, 1e-7)); // see line_inside()
    }
}

TEST_CASE("braces that cross are half-lapped", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("upright", BracePlane::FrontToBack, 100, 16), brace("shelf", BracePlane::Horizontal, 205)};
    const Cabinet cabinet = build_cabinet(plan);
    const std::vector<Junction> cross = joints(cabinet, "upright", "shelf");
    REQUIRE(cross.size() == 1);
    CHECK(cross[0].kind == Junction::Kind::Cross);
    CHECK_THAT(length(cross[0]), WithinAbs(0.282, round_off));
    CHECK_THAT(cross[0].overlap_passing, WithinAbs(9 * mm, round_off));
    CHECK_THAT(cross[0].overlap_ending, WithinAbs(8 * mm, round_off));
    const Bookkeeping book = bookkeeping(cabinet);
    const double both = (0.264 * 0.344 * 0.016 + 0.264 * 0.204 * 0.018 - 0.264 * 0.016 * 0.018) * 750;
    CHECK_THAT(part_mass(book, "upright") + part_mass(book, "shelf"), WithinRel(both, 1e-9)); // see line_inside()

    // A window over the crossing's middle: no wood to share there.
    OpeningPlan window = hole("window", "shelf", 0);
    window.shape = OpeningPlan::Shape::Rectangle;
    window.width = window.height = 100 * mm;
    plan.openings = {window};
    const Bookkeeping pierced = bookkeeping(build_cabinet(plan));
    const double less = (0.1 * 0.1 * 0.018 - 0.1 * 0.016 * 0.018) * 750;
    CHECK_THAT(part_mass(pierced, "upright") + part_mass(pierced, "shelf"), WithinRel(both - less, 1e-9));
}

TEST_CASE("slanted plates", "[mesh][build]")
{
    CabinetPlan plan = box_plan({}, 1000);
    BracePlan slanted = brace("slanted", BracePlane::Slanted, 0);
    SECTION("across the whole box")
    {
        slanted.point = {0.12, 0.15, 0.2};
        slanted.normal = {0, -0.3, 1};
        plan.braces = {slanted};
        const Cabinet cabinet = build_cabinet(plan);
        const Board& plate = board(cabinet, "slanted");
        CHECK((plate.frame.e1 - Vector3d::UnitX()).norm() < 1e-15);
        CHECK(count(cabinet, "slanted", Junction::Kind::Tee) == 4);
        const double c = 1 / std::sqrt(1 + 0.09);
        CHECK_THAT(area(plate.outline), WithinAbs(0.222 * 0.282 / c, round_off));
        // The frame sits in the outline's middle, so its own coordinates run from there.
        CHECK_THAT(plate.frame.origin.x(), WithinAbs(0.12, round_off));
        // Sawn: the longer face; each end leans by the thickness times the slope.
        CHECK_THAT(area(plate.sawn), WithinAbs(0.204 * (0.264 / c), 0.204 * 0.0181 * 0.3));
        CHECK_THAT(part_mass(bookkeeping(cabinet), "slanted"), WithinRel(0.204 * 0.264 / c * 18, 1e-12));
        // Reference: half the thicknesses over the sine of the angle between the planes.
        const Junction tee = joints(cabinet, "slanted", "front")[0];
        CHECK_THAT(tee.overlap_passing, WithinAbs(9 * mm / c, round_off));
        CHECK_THAT(std::sin(tee.angle), WithinAbs(c, 1e-12));
    }
    SECTION("in a corner only")
    {
        slanted.point = {0.05, 0.15, 0.05};
        slanted.normal = {1, 0, 1};
        plan.braces = {slanted};
        const Cabinet cabinet = build_cabinet(plan);
        CHECK(joints(cabinet, "slanted", "left").size() == 1);
        CHECK(joints(cabinet, "slanted", "bottom").size() == 1);
        CHECK(joints(cabinet, "slanted", "right").empty());
        // x + z = 100: √2·(100 − 36) long between the inner faces at mid-thickness.
        CHECK_THAT(part_mass(bookkeeping(cabinet), "slanted"),
                   WithinRel(std::sqrt(2.0) * 0.064 * 0.018 * 0.264 * 1000, 1e-12));
    }
    SECTION("a filler whose mid-plane just grazes the inner edge")
    {
        slanted.point = {0.018, 0.15, 0.018};
        slanted.normal = {1, 0, 1};
        plan.braces = {slanted};
        // Reference: what is left inside is the triangle under x' + z' = t/√2, t²/4 by 264 mm.
        CHECK_THAT(part_mass(bookkeeping(build_cabinet(plan)), "slanted"),
                   WithinRel(0.018 * 0.018 / 4 * 0.264 * 1000, 1e-9));
    }
}

TEST_CASE("a shelf behind a leaning front has a bevelled front edge", "[mesh][build]")
{
    CabinetPlan plan = box_plan({}, 1000);
    plan.baffle_slope = 0.2;
    plan.braces = {brace("shelf", BracePlane::Horizontal, 205)};
    const Cabinet cabinet = build_cabinet(plan);
    // Inner face of the front at height z: y = z·tan α + 18/cos α.
    const double tan = std::tan(0.2), inner = 0.018 / std::cos(0.2);
    CHECK_THAT(part_mass(bookkeeping(cabinet), "shelf"),
               WithinRel(0.204 * 0.018 * (0.282 - 0.205 * tan - inner) * 1000, 1e-12));
    CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinRel(0.204 * (0.282 - 0.196 * tan - inner), 1e-12));
    CHECK_THAT(joints(cabinet, "shelf", "front")[0].angle, WithinAbs(std::numbers::pi / 2 - 0.2, 1e-12));
}

TEST_CASE("plates in an L", "[mesh][build]")
{
    CabinetPlan plan = l_plan();
    SECTION("a shelf keeps the L")
    {
        plan.braces = {brace("shelf", BracePlane::Horizontal, 200)};
        const Cabinet cabinet = build_cabinet(plan);
        CHECK(count(cabinet, "shelf", Junction::Kind::Tee) == 6);
        CHECK_THAT(area(board(cabinet, "shelf").outline), WithinAbs(0.282 * 0.282 - 0.15 * 0.15, round_off));
        CHECK_THAT(area(board(cabinet, "shelf").sawn), WithinAbs(0.264 * 0.264 - 0.15 * 0.15, round_off));
    }
    SECTION("a partition in line with the notch's wall runs up to it")
    {
        plan.braces = {brace("partition", BracePlane::SideToSide, 141)};
        const Cabinet cabinet = build_cabinet(plan);
        CHECK_THAT(area(board(cabinet, "partition").outline), WithinAbs(0.132 * 0.382, round_off));
        CHECK(joints(cabinet, "partition", "w3").size() == 1);
        CHECK(joints(cabinet, "partition", "w5").size() == 1);
    }
    SECTION("a slanted plane meets both arms: the one with the point is the plate")
    {
        BracePlan slanted = brace("slanted", BracePlane::Slanted, 0);
        slanted.point = {0.08, 0.24, 0.2};
        slanted.normal = {1, 1, 0};
        plan.braces = {slanted};
        const Cabinet cabinet = build_cabinet(plan);
        const Board& plate = board(cabinet, "slanted");
        // x + y = 320 from the back (y = 291) to the notch's wall w3 (x = 141): x from 29 to 141.
        CHECK_THAT(area(plate.outline), WithinAbs(std::sqrt(2.0) * 0.112 * 0.382, round_off));
        CHECK(joints(cabinet, "slanted", "w3").size() == 1);
        CHECK(joints(cabinet, "slanted", "w4").size() == 1);
        CHECK(joints(cabinet, "slanted", "w1").empty());
    }
}
