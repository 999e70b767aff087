// A cabinet file becomes the plan it describes.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/build.h"

#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

#include <fstream>
#include <iterator>
#include <numbers>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::WithinRel;

// Reference: the figures as written, turned into SI by hand. Tolerance of all values here: one or two roundings of
// double precision when a unit is applied.
constexpr double eps = 1e-14;

namespace {

const CabinetPlan& every_key()
{
    static const CabinetPlan plan = read_cabinet("tests/app/input_every_key.yaml", library());
    return plan;
}

const Material& material_of(const CabinetPlan& plan, const Layup& layup, std::size_t ply = 0)
{
    return plan.materials.at(static_cast<std::size_t>(layup.plies.at(ply).material));
}

const std::string box_head = "name: t\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n";
const std::string mdf_boards = "boards: {all: {material: mdf, thickness: 18}}\n";

} // namespace

TEST_CASE("head, shape and analysis", "[app][input][cabinet]")
{
    const CabinetPlan& plan = every_key();
    CHECK(plan.name == "Every key");
    CHECK(plan.file == "tests/app/input_every_key.yaml");
    CHECK(plan.f_max == 1200);
    CHECK(plan.height == 0.34);
    CHECK_THAT(plan.baffle_slope, WithinRel(5 * std::numbers::pi / 180, eps));
    CHECK(plan.where.line == 7);
    REQUIRE(plan.outline.size() == 4);
    CHECK(plan.outline[0] == Vector2d(0, 0));
    CHECK(plan.outline[1] == Vector2d(0.2, 0));
    CHECK(plan.outline[2] == Vector2d(0.2, 0.26));
    CHECK(plan.outline[3] == Vector2d(0, 0.26));
    REQUIRE(plan.walls.size() == 4);
    CHECK(plan.walls[0].name == "front");
    CHECK(plan.walls[1].name == "right");
    CHECK(plan.walls[2].name == "back");
    CHECK(plan.walls[3].name == "left");
    CHECK(plan.top.name == "top");
    CHECK(plan.bottom.name == "bottom");
    REQUIRE(plan.laps.size() == 2);
    CHECK(plan.laps[0].over == "left");
    CHECK(plan.laps[0].under == "front");
    CHECK(plan.laps[1].over == "left");
    CHECK(plan.laps[1].where.line == 42);
}

TEST_CASE("boards: default, own keys, layers, grain", "[app][input][cabinet]")
{
    const CabinetPlan& plan = every_key();
    const WallPlan &front = plan.walls[0], &right = plan.walls[1], &back = plan.walls[2], &left = plan.walls[3];
    // Front: material of its own, thickness from `all`. 18 mm birch plywood has 13 plies.
    CHECK(front.layup.plies.size() == 13);
    CHECK(front.grain_rule == GrainRule::Angle);
    CHECK_THAT(front.grain, WithinRel(std::numbers::pi / 2, eps));
    CHECK(left.grain_rule == GrainRule::Angle);
    CHECK(left.grain == 0);
    CHECK_THAT(right.grain, WithinRel(std::numbers::pi / 6, eps));
    // Top: material from `all`, thickness of its own.
    REQUIRE(plan.top.layup.plies.size() == 1);
    CHECK_THAT(plan.top.layup.thickness(), WithinRel(0.01905, eps));
    CHECK(material_of(plan, plan.top.layup).name.substr(0, 3) == "mdf");
    CHECK(plan.top.grain_rule == GrainRule::LongerEdge);
    CHECK(plan.bottom.grain_rule == GrainRule::LongerEdge);
    CHECK_THAT(plan.bottom.layup.thickness(), WithinRel(0.02, eps));
    CHECK(material_of(plan, plan.bottom.layup).name == "my_board");
    // Back: from inside to outside, the outer layer turned.
    REQUIRE(back.layup.plies.size() == 2);
    CHECK_THAT(back.layup.plies[0].thickness, WithinRel(0.012, eps));
    CHECK(back.layup.plies[0].angle == 0);
    CHECK_THAT(back.layup.plies[1].thickness, WithinRel(0.009, eps));
    CHECK_THAT(back.layup.plies[1].angle, WithinRel(std::numbers::pi / 2, eps));
    CHECK(material_of(plan, back.layup, 1).name == "my_timber");
    CHECK(back.layup.label == "mdf 12 mm + my_timber 9 mm");
}

TEST_CASE("materials written in place", "[app][input][cabinet]")
{
    const CabinetPlan& plan = every_key();
    const Material& board = plan.materials.at(0);
    CHECK(board.name == "my_board");
    CHECK(board.is_isotropic);
    CHECK_THAT(board.E1.value, WithinRel(3.1e9, eps));
    CHECK_THAT(board.G12.value, WithinRel(3.1e9 / 2.6, eps)); // Reference: G = E / (2 (1 + nu))
    CHECK(board.rho.low == 740);
    CHECK(board.rho.value == 760);
    CHECK(board.rho.high == 780);
    CHECK_THAT(board.eta.value, WithinRel(0.02, eps));
    const Material& timber = plan.materials.at(1);
    CHECK(timber.name == "my_timber");
    CHECK_FALSE(timber.is_isotropic);
    CHECK_THAT(timber.E1.low, WithinRel(10e9, eps));
    CHECK_THAT(timber.E1.value, WithinRel(12e9, eps));
    CHECK_THAT(timber.E1.high, WithinRel(14e9, eps));
    CHECK_THAT(timber.E2.value, WithinRel(1e9, eps));
    CHECK_THAT(timber.E3.value, WithinRel(0.8e9, eps));
    CHECK_THAT(timber.G12.value, WithinRel(0.8e9, eps));
    CHECK_THAT(timber.G13.value, WithinRel(0.7e9, eps));
    CHECK_THAT(timber.G23.value, WithinRel(90e6, eps));
    CHECK(timber.nu12.value == 0.35);
    CHECK(timber.nu13.value == 0.4);
    CHECK(timber.nu23.value == 0.45);
    CHECK_THAT(timber.rho.value, WithinRel(620.0, eps));
    CHECK(timber.eta.value == 0.01);
    CHECK(timber.eta2.value == 0.02);
    CHECK(timber.eta2.high == 0.03);
}

TEST_CASE("openings and what sits in them", "[app][input][cabinet]")
{
    using Shape = OpeningPlan::Shape;
    using Kind = InsertPlan::Kind;
    const CabinetPlan& plan = every_key();
    REQUIRE(plan.openings.size() == 9); // two windows of braces come first
    const OpeningPlan& woofer = plan.openings[2];
    CHECK(woofer.name == "woofer");
    CHECK(woofer.board == "front");
    CHECK(woofer.shape == Shape::Circle);
    CHECK(woofer.width == 0.11);
    CHECK(woofer.height == 0.11);
    CHECK(woofer.x == 0.1);
    CHECK(woofer.z == 0.09);
    CHECK_FALSE(woofer.y.has_value());
    CHECK_FALSE(woofer.along.has_value());
    CHECK(woofer.insert.kind == Kind::Driver);
    CHECK(woofer.insert.name == "woofer");
    CHECK(woofer.insert.mass == 2.1);
    CHECK_THAT(woofer.insert.volume, WithinRel(0.8e-3, eps));
    CHECK_THAT(woofer.insert.offset, WithinRel(0.025, eps));
    CHECK(woofer.insert.rim_EI == 50);
    CHECK_THAT(woofer.insert.inertia_axial.value(), WithinRel(6e-3, eps));
    CHECK_THAT(woofer.insert.inertia_radial.value(), WithinRel(4e-3, eps));
    const OpeningPlan& port = plan.openings[6];
    CHECK(port.shape == Shape::Slot);
    CHECK_THAT(port.width, WithinRel(0.09, eps));
    CHECK_THAT(port.height, WithinRel(0.03, eps));
    CHECK_THAT(port.rotation, WithinRel(std::numbers::pi / 4, eps));
    CHECK(port.insert.kind == Kind::Port);
    CHECK_THAT(port.insert.mass, WithinRel(0.2, eps));
    const OpeningPlan& terminals = plan.openings[7];
    CHECK(terminals.shape == Shape::RoundedRectangle);
    CHECK_THAT(terminals.corner_radius, WithinRel(0.01, eps));
    CHECK(terminals.insert.kind == Kind::Plate);
    CHECK_THAT(terminals.insert.mass, WithinRel(0.226796185, eps)); // Reference: 1 lb = 0.45359237 kg
    const OpeningPlan& cable = plan.openings[8];
    CHECK(cable.shape == Shape::Rectangle);
    CHECK(cable.insert.kind == Kind::None);
    CHECK(cable.y == 0.2);
}

TEST_CASE("braces and their windows", "[app][input][cabinet]")
{
    using Plane = BracePlan::Plane;
    const CabinetPlan& plan = every_key();
    REQUIRE(plan.braces.size() == 4);
    const BracePlan &shelf = plan.braces[0], &spine = plan.braces[1], &bar = plan.braces[2], &gusset = plan.braces[3];
    CHECK(shelf.plane == Plane::Horizontal);
    CHECK(shelf.at == 0.17);
    CHECK(shelf.layup.plies.size() == 13);
    CHECK(shelf.grain_rule == GrainRule::Angle);
    CHECK(spine.plane == Plane::FrontToBack);
    CHECK(spine.z_from == 0.17);
    CHECK_FALSE(spine.z_to.has_value());
    CHECK(spine.ends_at == std::vector<std::string>{"shelf"});
    CHECK_THAT(spine.layup.thickness(), WithinRel(0.015, eps));
    CHECK(material_of(plan, spine.layup).name.substr(0, 3) == "mdf"); // from boards.all
    CHECK(spine.grain_rule == GrainRule::LongerEdge);
    CHECK(bar.plane == Plane::SideToSide);
    CHECK_THAT(bar.z_from.value(), WithinRel(0.06, eps));
    CHECK_THAT(bar.z_to.value(), WithinRel(0.11, eps));
    CHECK(gusset.plane == Plane::Slanted);
    CHECK(gusset.point.isApprox(Vector3d(0.1, 0.23, 0.04), eps));
    CHECK_THAT(gusset.normal.dot(Vector3d(0, -1, 1)), WithinRel(std::numbers::sqrt2, eps));
    CHECK(plan.openings[0].name == "big window");
    CHECK(plan.openings[0].board == "shelf");
    CHECK(plan.openings[0].y == 0.16);
    CHECK(plan.openings[1].name == "spine window 1");
    CHECK_FALSE(plan.openings[1].y.has_value());
}

TEST_CASE("rods, ribs and supports", "[app][input][cabinet]")
{
    const CabinetPlan& plan = every_key();
    REQUIRE(plan.rods.size() == 2);
    CHECK(plan.rods[0].from.isApprox(Vector3d(0.018, 0.12, 0.13), eps));
    CHECK(plan.rods[0].to.isApprox(Vector3d(0.182, 0.12, 0.13), eps));
    CHECK(plan.rods[0].diameter == 0.02);
    CHECK(plan.materials.at(static_cast<std::size_t>(plan.rods[0].material)).name.find("beech") == 0);
    CHECK_FALSE(plan.rods[1].diameter);
    CHECK(plan.rods[1].height == 0.03);
    CHECK(plan.rods[1].material == 1);
    REQUIRE(plan.ribs.size() == 2);
    CHECK(plan.ribs[0].inside);
    CHECK(plan.ribs[0].y2 == 0.22);
    CHECK(plan.ribs[0].height == 0.04);
    CHECK_FALSE(plan.ribs[1].inside);
    CHECK(plan.ribs[1].z1 == 0.06);
    CHECK(plan.ribs[1].material == 0);
    REQUIRE(plan.supports.size() == 5);
    CHECK(plan.supports[0].points.size() == 4);
    CHECK(plan.supports[0].points[3].isApprox(Vector2d(0.17, 0.23), eps));
    CHECK(plan.supports[0].stiffness == Vector3d(2e5, 2e5, 2e5));
    CHECK(plan.supports[0].loss.value == 0.1);
    CHECK(plan.supports[1].stiffness == Vector3d(0, 1e4, 1e3));
    CHECK(plan.supports[4].is_clamped_edge);
    CHECK(plan.supports[4].neighbour == "top");
}

TEST_CASE("the file with every key makes a cabinet", "[app][input][cabinet]")
{
    const Cabinet cabinet = build_cabinet(every_key());
    CHECK(cabinet.boards.size() == 10);
    CHECK(cabinet.rods.size() == 2);
    CHECK(cabinet.ribs.size() == 2);
    CHECK(cabinet.supports.size() == 5);
    CHECK(cabinet.layers.size() == 3);
}

TEST_CASE("a taper has its back in the middle", "[app][input][cabinet]")
{
    const CabinetPlan plan = parse_cabinet("name: t\ncabinet: {shape: taper, width: 240, rear_width: 160, height: 300, "
                                           "depth: 250}\n" +
                                               mdf_boards,
                                           "t", library());
    REQUIRE(plan.outline.size() == 4);
    CHECK_THAT(plan.outline[2].x(), WithinRel(0.2, eps));
    CHECK_THAT(plan.outline[3].x(), WithinRel(0.04, eps));
    CHECK(plan.outline[3].y() == 0.25);
    CHECK_NOTHROW(build_cabinet(plan));
}

TEST_CASE("a prism takes its walls' names or numbers them", "[app][input][cabinet]")
{
    const std::string head = "name: t\ncabinet: {shape: prism, height: 300, outline: [[0, 0], [200, 0], [250, 200], "
                             "[100, 280], [-50, 200]]";
    const CabinetPlan numbered = parse_cabinet(head + "}\n" + mdf_boards, "t", library());
    REQUIRE(numbered.walls.size() == 5);
    CHECK(numbered.walls[4].name == "wall_5");
    CHECK(numbered.outline[4] == Vector2d(-0.05, 0.2));
    const CabinetPlan named = parse_cabinet(
        head + ", walls: [front, right, back right, back left, left]}\n" + mdf_boards +
            "openings: [{name: hole, board: back left, shape: circle, diameter: 50, at: {along: 80, z: 100}}]",
        "t", library());
    CHECK(named.walls[2].name == "back right");
    CHECK(named.openings[0].along == 0.08);
    CHECK_NOTHROW(build_cabinet(named));
}

TEST_CASE("units: in reads bare lengths as inches", "[app][input][cabinet]")
{
    const CabinetPlan plan = parse_cabinet("name: t\nunits: in\ncabinet: {shape: box, width: 8, height: 13 1/2, depth: "
                                           "25 cm}\nboards: {all: {material: mdf, thickness: 3/4}}\n",
                                           "t", library());
    CHECK_THAT(plan.outline[1].x(), WithinRel(0.2032, eps));
    CHECK_THAT(plan.height, WithinRel(0.3429, eps));
    CHECK_THAT(plan.outline[2].y(), WithinRel(0.25, eps));
    CHECK_THAT(plan.top.layup.thickness(), WithinRel(0.01905, eps));
}

TEST_CASE("the shortest file takes all defaults", "[app][input][cabinet]")
{
    const CabinetPlan plan = parse_cabinet(box_head + mdf_boards, "t", library());
    CHECK(plan.f_max == 1500);
    CHECK(plan.baffle_slope == 0);
    CHECK(plan.openings.empty());
    CHECK(plan.supports.empty());
    CHECK(plan.materials.size() == 1);
    CHECK_NOTHROW(build_cabinet(plan));
}

TEST_CASE("the example in FORMAT.md is good", "[app][input][cabinet]")
{
    std::ifstream stream("examples/FORMAT.md");
    const std::string text{std::istreambuf_iterator<char>(stream), {}};
    const std::string fence = "```yaml\n";
    const std::size_t begin = text.find(fence);
    REQUIRE(begin != std::string::npos);
    const std::size_t end = text.find("```", begin + fence.size());
    const std::string example = text.substr(begin + fence.size(), end - begin - fence.size());
    CHECK_NOTHROW(build_cabinet(parse_cabinet(example, "FORMAT.md", library())));
}
