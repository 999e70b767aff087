#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/fastener.h"

using namespace build_fixture;
using Kind = JointPlan::Kind;

namespace {

Quantity range(double low, double value, double high)
{
    return {value, low, high, "test", "assumed"};
}

/// 5e7 N/m² across and 2.5e7 N/m² along at a spacing of 160 mm.
JointPlan screwed(const char* name, const char* board, const char* neighbour = "")
{
    JointPlan joint;
    joint.name = name;
    joint.board = board;
    joint.neighbour = neighbour;
    joint.spacing = 160 * mm;
    joint.screw_axial = range(4e6, 8e6, 16e6);
    joint.screw_shear = range(2e6, 4e6, 8e6);
    joint.loss = joint.screw_loss = range(0.03, 0.1, 0.3);
    joint.where = at_line(70);
    return joint;
}

LineSpring spring(const Cabinet& cabinet, const char* a, const char* b)
{
    const std::vector<Junction> found = joints(cabinet, a, b);
    REQUIRE(found.size() == 1);
    for (const Junction& j : cabinet.junctions) {
        if (j.passing == found[0].passing && j.ending == found[0].ending) {
            REQUIRE(j.spring.has_value());
            return *j.spring;
        }
    }
    return *found[0].spring;
}

Cabinet with_joints(const std::vector<JointPlan>& list, CabinetPlan plan = box_plan())
{
    plan.joints = list;
    return build_cabinet(plan);
}

std::string refusal(const CabinetPlan& plan)
{
    try {
        static_cast<void>(build_cabinet(plan));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

std::string refusal_of_joints(const std::vector<JointPlan>& list, CabinetPlan plan = box_plan())
{
    plan.joints = list;
    return refusal(plan);
}

bool says(const std::string& message, const std::string& part)
{
    return message.find(part) != std::string::npos;
}

CabinetPlan driver_plan(double depth_mm, const char* touched = "back")
{
    CabinetPlan plan = box_plan();
    plan.openings = {hole_xz("woofer", "front", 150, 120, 130)};
    InsertPlan& driver = plan.openings[0].insert;
    driver.kind = InsertPlan::Kind::Driver;
    driver.mass = 2;
    driver.rear_tie = {touched, depth_mm * mm, {{5e6, 5e6, 5e6, "", ""}, {}}};
    return plan;
}

} // namespace

TEST_CASE("a screw in shear as the code has it", "[mesh][build][joint][reference]")
{
    // Reference: ρ^1.5 d / 23 by hand: 400^1.5 = 8000; 8000 × 4.6 / 23 = 1600 N/mm. Tolerance: round-off.
    CHECK_THAT(screw_shear_stiffness(400, 4.6e-3), WithinRel(1.6e6, 1e-12));
    CHECK_THROWS_AS(screw_shear_stiffness(0, 4e-3), DomainError);
    CHECK_THROWS_AS(screw_shear_stiffness(700, std::nan("")), DomainError);
}

TEST_CASE("screws become springs per metre", "[mesh][build][joint]")
{
    const Cabinet cabinet = with_joints({screwed("back", "back")}, box_plan({.back = 12, .side = 20}));
    int n_springs = 0;
    for (const Junction& j : cabinet.junctions) n_springs += j.spring ? 1 : 0;
    CHECK(n_springs == 4); // left, right, top, bottom
    const LineSpring side = spring(cabinet, "back", "left");
    // Reference: 8 MN/m / 160 mm; contact: the side's end, 20 mm; k_n (w/2)² = 5e7 × 1e-4. Tolerance: round-off.
    CHECK_THAT(side.normal.value, WithinRel(5e7, 1e-12));
    CHECK_THAT(side.normal.low, WithinRel(2.5e7, 1e-12));
    CHECK_THAT(side.normal.high, WithinRel(1e8, 1e-12));
    CHECK_THAT(side.shear.value, WithinRel(2.5e7, 1e-12));
    CHECK_THAT(side.width, WithinRel(0.020, 1e-12));
    CHECK_THAT(side.turning.value, WithinRel(5e3, 1e-12));
    CHECK_THAT(side.turning.high, WithinRel(1e4, 1e-12));
    CHECK(side.loss.value == 0.1);
    CHECK(side.loss.high == 0.3);
    CHECK(side.removable == cabinet.board_index("back"));
    CHECK(side.name == "back");
    CHECK_THAT(spring(cabinet, "back", "top").width, WithinRel(0.018, 1e-12));
}

TEST_CASE("a lip narrows the contact, a slant widens it", "[mesh][build][joint]")
{
    JointPlan joint = screwed("back", "back", "left");
    joint.lip = 6 * mm;
    // Reference: 18 − 6 mm. Tolerance: round-off.
    CHECK_THAT(spring(with_joints({joint}), "back", "left").width, WithinRel(0.012, 1e-12));
    joint.lip = 17.5 * mm;
    CHECK(says(refusal_of_joints({joint}),
               "box.yaml:70:3: joints.back.rebate: a lip of 17.5 mm leaves nothing of the 18 mm"));

    joint.lip = 0;
    CabinetPlan taper = box_plan();
    taper.outline[2].x() -= 0.03;
    taper.outline[3].x() += 0.03;
    // Reference: sides lean inwards by atan(30/300); the cut is longer by 1/cos = √1.01. Tolerance: round-off.
    CHECK_THAT(spring(with_joints({joint}, taper), "back", "left").width, WithinRel(0.018 * std::sqrt(1.01), 1e-12));
}

TEST_CASE("a gasket adds its strip to the screws", "[mesh][build][joint]")
{
    JointPlan joint = screwed("baffle", "front");
    joint.kind = Kind::Gasket;
    joint.strip_E = range(0.3e6, 0.9e6, 3e6);
    joint.strip_thickness = 3 * mm;
    joint.strip_width = 10 * mm;
    joint.loss = range(0.1, 0.25, 0.4);
    const LineSpring soft = spring(with_joints({joint}), "front", "left");
    // Reference: strip 0.9e6 × 10/3 = 3e6, a third of it along, 3e6 × 0.01²/12 = 25; screws 5e7, 2.5e7, 5e7 × 0.005² =
    // 1250;
    //   loss (3 × 0.25 + 50 × 0.1) / 53. Tolerance: round-off.
    CHECK_THAT(soft.width, WithinRel(0.01, 1e-12));
    CHECK_THAT(soft.normal.value, WithinRel(5.3e7, 1e-12));
    CHECK_THAT(soft.shear.value, WithinRel(2.6e7, 1e-12));
    CHECK_THAT(soft.turning.value, WithinRel(1275.0, 1e-12));
    CHECK_THAT(soft.loss.value, WithinRel(5.75 / 53, 1e-12));
    // Reference: ends of both ranges: 1 + 25 and 10 + 100 MN/m². Loss lowest with the softest strip (1 against 100),
    //   highest with the stiffest (10 against 25): (0.1 + 3)/101, (4 + 7.5)/35. Tolerance: round-off.
    CHECK_THAT(soft.normal.low, WithinRel(2.6e7, 1e-12));
    CHECK_THAT(soft.normal.high, WithinRel(1.1e8, 1e-12));
    CHECK_THAT(soft.loss.low, WithinRel(3.1 / 101, 1e-12));
    CHECK_THAT(soft.loss.high, WithinRel(11.5 / 35, 1e-12));
    joint.strip_width = 50 * mm; // wider than the wood it lies on
    CHECK_THAT(spring(with_joints({joint}), "front", "left").width, WithinRel(0.018, 1e-12));
    joint.strip_thickness = 0;
    CHECK(says(refusal_of_joints({joint}), "needs a strip"));
}

TEST_CASE("springs of one's own are spread over the contact", "[mesh][build][joint]")
{
    JointPlan joint = screwed("back", "back", "left");
    joint.kind = Kind::Springs;
    joint.normal = range(1e7, 1.2e7, 2e7);
    joint.shear = range(1e6, 2e6, 3e6);
    const LineSpring own = spring(with_joints({joint}), "left", "back");
    CHECK(own.normal.value == 1.2e7);
    CHECK(own.shear.low == 1e6);
    CHECK_THAT(own.turning.value, WithinRel(324.0, 1e-12)); // Reference: 1.2e7 × 0.018²/12. Tolerance: round-off.
    joint.shear = {};
    CHECK(says(refusal_of_joints({joint}), "stiffnesses greater than 0"));
}

TEST_CASE("a pair's entry goes before its board's", "[mesh][build][joint]")
{
    JointPlan glued = screwed("left edge", "left", "back");
    glued.kind = Kind::Glued;
    const Cabinet cabinet = with_joints({screwed("back", "back"), glued});
    CHECK_FALSE(joints(cabinet, "back", "left")[0].spring.has_value());
    CHECK(joints(cabinet, "back", "right")[0].spring.has_value());
    // Both boards claim their common edge: only a pair can say whose it is.
    CHECK(says(refusal_of_joints({screwed("a", "back"), screwed("b", "left")}),
               "joints.b: the joint of 'back' and 'left' is named twice, here and as 'a' in line 70"));
    JointPlan pair = screwed("c", "left", "back");
    const Cabinet settled = with_joints({screwed("a", "back"), pair});
    CHECK(spring(settled, "back", "left").removable == settled.board_index("left"));
    CHECK(says(refusal_of_joints({pair, screwed("d", "back", "left")}), "named twice, here and as 'c'"));
    CHECK(says(refusal_of_joints({screwed("a", "back"), screwed("a", "front")}), "this name is taken"));
    CHECK(says(refusal_of_joints({screwed("a", "back", "front")}), "'back' and 'front' do not meet"));
    CHECK(says(refusal_of_joints({screwed("a", "bakc")}), "did you mean 'back'?"));
}

TEST_CASE("braces are joined at their edges, not where they cross", "[mesh][build][joint]")
{
    // Exact: the shelf's thickness as drawn, 15 mm.
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 200, 15),
                   brace("spine", BracePlan::Plane::FrontToBack, 120)};
    const Cabinet cabinet = with_joints({screwed("shelf", "shelf")}, plan);
    CHECK_THAT(spring(cabinet, "shelf", "left").width, WithinRel(0.015, 1e-12));
    for (const Junction& j : cabinet.junctions) CHECK((j.kind != Junction::Kind::Cross || !j.spring));
    CHECK(says(refusal_of_joints({screwed("x", "shelf", "spine")}, plan),
               "plates that cross are halved into each other"));
}

TEST_CASE("a magnet's rear must reach the board it touches", "[mesh][build][mount]")
{
    // Reference: mid-planes of front and back at y = 9 and 291 mm, so 282 mm apart.
    CHECK(refusal(driver_plan(273)) == "accepted");
    CHECK(refusal(driver_plan(252.5)) == "accepted");
    CHECK(refusal(driver_plan(311.5)) == "accepted");
    CHECK(says(refusal(driver_plan(240)),
               "box.yaml:50:3: openings.woofer.driver.rear.depth: the magnet's rear lies 42 mm in "
               "front of the middle of 'back'"));
    CHECK(says(refusal(driver_plan(320)), "38 mm behind the middle of 'back'"));
    CHECK(says(refusal(driver_plan(273, "front")), "another board"));
    CHECK(says(refusal(driver_plan(273, "left")), "lies along the driver's axis"));
    CHECK(says(refusal(driver_plan(273, "bakc")), "did you mean 'back'?"));
    CHECK(says(refusal(driver_plan(0)), "greater than 0"));
    CabinetPlan plan = driver_plan(273);
    plan.openings.push_back(hole_xz("port", "back", 60, 120, 130));
    CHECK(says(refusal(plan), "meets the opening 'port'"));
    plan = driver_plan(141, "rail");
    BracePlan rail = brace("rail", BracePlan::Plane::SideToSide, 150);
    rail.z_from = 0.2;
    plan.braces = {rail};
    CHECK(says(refusal(plan), "passes 70 mm beside 'rail'")); // Reference: axis at z = 130 mm, free edge at 200 mm
    plan.braces[0].z_from = 0.1;
    CHECK(refusal(plan) == "accepted");
}

TEST_CASE("static deflection sets the stiffness of feet", "[mesh][build][support]")
{
    CabinetPlan plan = box_plan();
    SupportPlan feet;
    feet.name = "feet";
    feet.board = "bottom";
    feet.points = {{0.05, 0.05}, {0.19, 0.05}, {0.05, 0.25}, {0.19, 0.25}};
    feet.static_deflection = 2 * mm;
    feet.where = at_line(80);
    plan.supports = {feet};
    const double mass = bookkeeping(build_cabinet(box_plan())).mass;
    const Vector3d k = build_cabinet(plan).supports[0].stiffness;
    // Reference: √(g/δ)/2π = 15.76 Hz / √(δ in mm), the trade's rule. Tolerance: its four figures.
    CHECK_THAT(std::sqrt(4 * k.z() / mass) / (2 * std::numbers::pi), WithinRel(15.76 / std::sqrt(2.0), 3e-4));
    CHECK(k.x() == k.z());
    // A preset keeps its proportions; other feet carry their share.
    plan.supports[0].stiffness = {2e4, 2e4, 5e4};
    plan.supports[0].kind = "rubber";
    plan.supports[0].stiffness_range = {1, 0.5, 2, "", ""};
    plan.supports[0].loss = {0.15, 0.05, 0.3, "", ""};
    SupportPlan spike = feet;
    spike.name = "spike";
    spike.points = {{0.12, 0.1}};
    spike.static_deflection.reset();
    spike.stiffness = Vector3d::Constant(1e7);
    plan.supports.push_back(spike);
    const Cabinet cabinet = build_cabinet(plan);
    // Reference: the fifth foot takes a fifth of the weight. Tolerance: round-off.
    CHECK_THAT(cabinet.supports[0].stiffness.z(), WithinRel(0.8 * k.z(), 1e-12));
    CHECK_THAT(cabinet.supports[0].stiffness.x(), WithinRel(0.4 * 0.8 * k.z(), 1e-12));
    CHECK(cabinet.supports[0].kind == "rubber");
    CHECK(cabinet.supports[0].stiffness_range.low == 0.5); // the range is relative: it stays
    CHECK(cabinet.supports[0].stiffness_range.high == 2);
    CHECK(cabinet.supports[0].loss.high == 0.3);
    CHECK(cabinet.supports[1].stiffness == Vector3d::Constant(1e7));
}
