#include "tests/mesh/build_fixture.h"

using namespace build_fixture;
using BracePlane = BracePlan::Plane;

// Messages are part of the interface: each must carry the item's place, its key and the figure at fault.

namespace {

std::string message(const CabinetPlan& plan)
{
    try {
        static_cast<void>(build_cabinet(plan));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

void check_message(const CabinetPlan& plan, const std::string& start, const std::string& part)
{
    const std::string text = message(plan);
    CAPTURE(text);
    CHECK(text.rfind("box.yaml:" + start, 0) == 0);
    CHECK(text.find(part) != std::string::npos);
    CHECK(text.find('\n') == std::string::npos);
}

OpeningPlan window(double w_mm, double h_mm)
{
    OpeningPlan plan = hole("window", "shelf", 0);
    plan.shape = OpeningPlan::Shape::Rectangle;
    plan.width = w_mm * mm;
    plan.height = h_mm * mm;
    return plan;
}

} // namespace

TEST_CASE("dimensions that make no box", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    SECTION("thin, thick, negative or missing boards")
    {
        for (const double t_mm : {0.01, 2000.0, -3.0, std::nan("")}) {
            plan.walls[1].layup = board_of(t_mm);
            check_message(plan, "11:3: boards.right.thickness: ", "must lie between 1 mm and 200 mm, got ");
        }
        plan.walls[1].layup.plies.clear();
        check_message(plan, "11:3: boards.right.thickness: ", "got 0 mm");
    }
    SECTION("a lay-up of nothing known")
    {
        plan.walls[1].layup = board_of(18, 7);
        check_message(plan, "11:3: boards.right: ", "names no material");
    }
    SECTION("absurd sizes")
    {
        check_message(box_plan({.width = 12}), "1:3: cabinet.width: ", "must lie between 20 mm and 5000 mm, got 12 mm");
        check_message(box_plan({.height = 6000}), "1:3: cabinet.height: ", "got 6000 mm");
        check_message(box_plan({.depth = 0}), "1:3: cabinet.depth: ", "got 0 mm");
    }
    SECTION("outlines")
    {
        std::swap(plan.outline[1], plan.outline[2]);
        check_message(plan, "1:3: cabinet.outline: ", "crosses or touches itself");
        plan = box_plan();
        std::reverse(plan.outline.begin(), plan.outline.end());
        check_message(plan, "1:3: cabinet.outline: ", "clockwise");
        plan = box_plan();
        plan.outline.pop_back();
        check_message(plan, "1:3: cabinet.outline: ", "has 3 sides but 4 walls");
        plan = box_plan();
        plan.outline.insert(plan.outline.begin() + 1, Vector2d(0.1, 0));
        plan.walls.insert(plan.walls.begin() + 1, plan.walls[1]);
        check_message(plan, "1:3: cabinet.outline: ", "lie in one line");
        plan = box_plan();
        plan.outline = {{0, 0}, {0.1, 0}};
        check_message(plan, "1:3: cabinet.outline: ", "at least 3 corners");
    }
    SECTION("walls that fill the box")
    {
        check_message(box_plan({.side = 125}), "10:3: boards.front: ", "leaves no room");
        check_message(box_plan({.height = 100, .lid = 50}), "1:3: cabinet.height: ", "no room between them");
        check_message(l_plan(80), "2", "leaves no room");
    }
    SECTION("a front that leans past the top")
    {
        plan.baffle_slope = 0.7;
        check_message(plan, "1:3: cabinet.baffle_slope: ", "does not meet the top; lessen the slope");
        plan.baffle_slope = 1.2;
        check_message(plan, "1:3: cabinet.baffle_slope: ", "between -60 and 60 degrees");
    }
}

TEST_CASE("names", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlane::Horizontal, 200), brace("shelf", BracePlane::Horizontal, 300)};
    check_message(plan, "40:3: braces.shelf: ", "is taken");
    plan.braces = {brace("left", BracePlane::Horizontal, 200)};
    check_message(plan, "40:3: braces.left: ", "is taken");
    plan.braces.clear();
    plan.openings = {hole_xz("woofer", "front", 50, 60, 100), hole_xz("woofer", "front", 50, 180, 100)};
    check_message(plan, "50:3: openings.woofer: ", "is taken");
    plan.openings = {hole_xz("woofer", "fornt", 50, 60, 100)};
    check_message(plan, "50:3: openings.woofer.board: ", "there is no board 'fornt'; did you mean 'front'?");
}

TEST_CASE("laps", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlane::Horizontal, 200)};
    const auto lap = [&](const char* over, const char* under) { plan.laps.push_back({over, under, at_line(5)}); };
    SECTION("unknown board")
    {
        lap("tpo", "left");
        check_message(plan, "5:3: laps: ", "did you mean 'top'?");
    }
    SECTION("boards that do not meet")
    {
        lap("left", "right");
        check_message(plan, "5:3: laps: ", "'left' and 'right' do not meet");
    }
    SECTION("braces")
    {
        lap("left", "shelf");
        check_message(plan, "5:3: laps: ", "braces always butt");
    }
    SECTION("both ways")
    {
        lap("left", "front");
        lap("front", "left");
        check_message(plan, "5:3: laps: ", "cover each other");
    }
    SECTION("round in a circle")
    {
        lap("top", "front"); // front covers left, left covers top
        check_message(plan, "5:3: laps: ", "go round in a circle");
    }
    SECTION("a lid that changes its mind at an inward corner")
    {
        plan = l_plan();
        lap("top", "w3");
        lap("top", "w4");
        lap("top", "w5");
        check_message(plan, "5:3: laps: ", "the same way");
    }
}

TEST_CASE("holes", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlane::Horizontal, 200)};
    const auto one = [&](const OpeningPlan& opening) {
        plan.openings = {opening};
        return plan;
    };
    check_message(one(hole_xz("woofer", "front", 0, 120, 100)), "50:3: openings.woofer.diameter: ", "greater than 0");
    check_message(one(hole_xz("woofer", "front", 300, 120, 200)),
                  "50:3: openings.woofer: ", "is larger than 'front': 300 mm x 300 mm");
    check_message(one(hole_xz("woofer", "front", 100, 400, 200)), "50:3: openings.woofer: ", "lies outside 'front'");
    check_message(one(hole_xz("woofer", "front", 100, 40, 200)),
                  "50:3: openings.woofer: ", "cuts the edge of 'front' by 10 mm");
    check_message(one(hole_xz("woofer", "front", 100, 50.5, 200)),
                  "50:3: openings.woofer: ", "leaves 0.5 mm to the edge");
    // The front's edge is 54 mm away, but the side's middle only 45 mm: the corner's stiffness would be cut.
    check_message(one(hole_xz("woofer", "front", 100, 54, 200)), "50:3: openings.woofer: ", "move it in by 6 mm");
    CHECK(message(one(hole_xz("woofer", "front", 100, 60.1, 200))) == "accepted");

    OpeningPlan wrong = hole("port", "left", 60);
    wrong.x = 0.1;
    wrong.z = 0.1;
    check_message(one(wrong), "50:3: openings.port: ", "needs y and z (or along and z), got x and z");
    wrong.board = "top";
    check_message(one(wrong), "50:3: openings.port: ", "needs x and y, got x and z");
    wrong.z.reset();
    wrong.board = "shelf";
    check_message(one(wrong), "50:3: openings.port: ", "needs x and y, got x");
    check_message(one(hole("port", "front", 60)),
                  "50:3: openings.port: ", "needs x and z (or along and z), got nothing");

    check_message(one(window(250, 100)), "50:3: openings.window: ", "is larger than 'shelf'");
    check_message(one(window(203, 100)), "50:3: openings.window: ", "leaves 0.5 mm to the edge of 'shelf'");
    check_message(one(window(100, 0)), "50:3: openings.window.height: ", "greater than 0, got 0 mm");
    OpeningPlan rounded = window(100, 60);
    rounded.shape = OpeningPlan::Shape::RoundedRectangle;
    rounded.corner_radius = 31 * mm;
    check_message(one(rounded), "50:3: openings.window.corner_radius: ", "at most 30 mm");
}

TEST_CASE("holes that meet", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    const auto two = [&](double z_mm) {
        plan.openings = {hole_xz("woofer", "front", 100, 120, 100), hole_xz("tweeter", "front", 60, 120, z_mm)};
        return plan;
    };
    check_message(two(170), "50:3: openings.tweeter: ", "overlaps 'woofer' by 10 mm");
    check_message(two(180), "50:3: openings.tweeter: ", "touches 'woofer'");
    check_message(two(180.4), "50:3: openings.tweeter: ", "leaves only 0.4 mm to 'woofer'");
    CHECK(message(two(181.1)) == "accepted");
}

TEST_CASE("braces out of place", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    const auto one = [&](const BracePlan& b) {
        plan.braces = {b};
        return plan;
    };
    BracePlan b = brace("shelf", BracePlane::Horizontal, 400);
    check_message(one(b), "40:3: braces.shelf.at: ", "400 mm lies outside the cabinet");
    b.at = 5 * mm;
    check_message(one(b), "40:3: braces.shelf.at: ", "within the thickness of its walls");
    b.at = 20 * mm;
    check_message(one(b), "40:3: braces.shelf: ", "lies flat on or in 'bottom' (-7 mm");
    b.at = 200 * mm;
    b.x_to = 300 * mm;
    check_message(one(b),
                  "40:3: braces.shelf.to.x: ", "300 mm lies outside the cabinet, which runs from 0 mm to 240 mm");
    b.x_to = 100 * mm;
    b.x_from = 150 * mm;
    check_message(one(b), "40:3: braces.shelf.to.x: ", "must lie beyond from.x = 150 mm");
    b.x_to.reset();
    b.x_from.reset();
    b.z_from = 100 * mm;
    check_message(one(b), "40:3: braces.shelf.from.z: ", "lies across the plate");
    b.z_from.reset();
    b.x_from = b.y_from = 60 * mm;
    b.x_to = b.y_to = 180 * mm;
    check_message(one(b), "40:3: braces.shelf: ", "touches no other board");

    BracePlan slanted = brace("slanted", BracePlane::Slanted, 0);
    slanted.normal = Vector3d::Zero();
    slanted.point = {0.1, 0.1, 0.1};
    check_message(one(slanted), "40:3: braces.slanted.normal: ", "without length");
    slanted.normal = {0, 1, 1};
    slanted.point = {0.5, 0.1, 0.1};
    check_message(one(slanted), "40:3: braces.slanted.through: ", "outside the cabinet");

    plan.braces = {brace("a", BracePlane::Horizontal, 200), brace("b", BracePlane::Horizontal, 210)};
    check_message(plan, "40:3: braces.b: ", "lies flat on or in 'a' (-8 mm");
}

TEST_CASE("braces that end at nothing", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlane::Horizontal, 200), brace("partition", BracePlane::FrontToBack, 120)};
    plan.braces[0].ends_at = {"partiton"};
    check_message(plan, "40:3: braces.shelf.ends_at: ", "did you mean 'partition'?");
    plan.braces[0].ends_at = {"partition"};
    check_message(plan, "40:3: braces.shelf.ends_at: ", "halves it; say which half");
    plan.braces[0].x_from = 0.0;
    CHECK(message(plan) == "accepted");
    plan.braces[0].x_from.reset();
    plan.braces[0].x_to = 60 * mm;
    check_message(plan, "40:3: braces.shelf.ends_at: ", "does not reach brace 'partition'");
}

TEST_CASE("rods, ribs and supports off their boards", "[mesh][build][errors]")
{
    CabinetPlan plan = box_plan();
    plan.openings = {hole_xz("woofer", "front", 100, 120, 150)};
    RodPlan rod;
    rod.name = "rod";
    rod.where = at_line(60);
    rod.diameter = 20 * mm;
    rod.from = {0.009, 0.15, 0.2};
    rod.to = {0.15, 0.15, 0.2};
    plan.rods = {rod};
    check_message(plan, "60:3: rods.rod.to: ", "'right' is nearest, its middle is 81 mm away");
    plan.rods[0].to = {0.01, 0.15, 0.3};
    check_message(plan, "60:3: rods.rod: ", "both ends lie on 'left'");
    plan.rods[0].to = {0.12, 0.01, 0.15};
    check_message(plan, "60:3: rods.rod.to: ", "ends in the opening 'woofer' of 'front'");
    plan.rods[0].diameter = 0;
    check_message(plan, "60:3: rods.rod: ", "needs a diameter");
    plan.rods.clear();

    RibPlan rib;
    rib.name = "rib";
    rib.board = "front";
    rib.where = at_line(70);
    rib.width = 20 * mm;
    rib.height = 30 * mm;
    rib.x1 = rib.x2 = 40 * mm;
    rib.z1 = 50 * mm;
    rib.z2 = 400 * mm;
    plan.ribs = {rib};
    check_message(plan, "70:3: ribs.rib.to: ", "lies 29 mm off 'front'");
    plan.ribs[0].z2 = 50 * mm;
    check_message(plan, "70:3: ribs.rib: ", "is shorter than 5 mm");
    plan.ribs[0].x2 = 180 * mm;
    plan.ribs[0].z2 = 300 * mm;
    check_message(plan, "70:3: ribs.rib: ", "runs across the opening 'woofer'");
    plan.ribs.clear();

    SupportPlan feet;
    feet.name = "feet";
    feet.board = "bottom";
    feet.where = at_line(80);
    feet.stiffness = {1e5, 1e5, 1e6};
    feet.points = {{0.03, 0.03}, {0.3, 0.03}};
    plan.supports = {feet};
    check_message(plan, "80:3: supports.feet.points: ", "stands 69 mm off 'bottom'");
    plan.supports[0].points.clear();
    check_message(plan, "80:3: supports.feet.points: ", "at least one foot");
    plan.supports[0].is_clamped_edge = true;
    plan.supports[0].neighbour = "top";
    check_message(plan, "80:3: supports.feet.edge: ", "'bottom' and 'top' do not meet");
}

TEST_CASE("feet under an end grain move onto the model", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    SupportPlan feet;
    feet.name = "feet";
    feet.board = "bottom";
    feet.stiffness = {1e5, 1e5, 1e6};
    feet.points = {{0.002, 0.002}, {0.12, 0.2}};
    plan.supports = {feet};
    const Cabinet cabinet = build_cabinet(plan);
    const Board& bottom = board(cabinet, "bottom");
    // Reference: the model of the bottom starts at 9 mm, the middle of the walls' 18 mm. Tolerance: round-off.
    const Vector3d corner = bottom.frame.to_space(cabinet.supports[0].points[0]);
    CHECK_THAT((corner - Vector3d(0.009, 0.009, 0.009)).norm(), WithinAbs(0, round_off));
    const Vector3d middle = bottom.frame.to_space(cabinet.supports[0].points[1]);
    CHECK_THAT((middle - Vector3d(0.12, 0.2, 0.009)).norm(), WithinAbs(0, round_off));
}
