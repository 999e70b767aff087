// Layers, joints, mounts, supports and tables of soft materials become the plan they describe.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/build.h"

#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

// Reference: the figures as written, turned into SI by hand. Tolerance of values read: one or two roundings when a unit
// is applied.
constexpr double eps = 1e-14;

const CabinetPlan& every_key()
{
    static const CabinetPlan plan = read_cabinet("tests/app/input_every_key.yaml", library());
    return plan;
}

const std::string box = "name: t\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
                        "boards: {all: {material: mdf, thickness: 18}}\n";

CabinetPlan box_with(const std::string& more)
{
    return parse_cabinet(box + more, "t", library());
}

const Material& material_of(const CabinetPlan& plan, const Ply& ply)
{
    return plan.materials.at(static_cast<std::size_t>(ply.material));
}

void check_range(const Quantity& q, double low, double value, double high)
{
    CHECK_THAT(q.low, WithinRel(low, eps));
    CHECK_THAT(q.value, WithinRel(value, eps));
    CHECK_THAT(q.high, WithinRel(high, eps));
}

} // namespace

TEST_CASE("a soft material keeps its table", "[app][input][damping]")
{
    const Material& film = every_key().materials.at(2);
    CHECK(film.name == "my_film");
    REQUIRE(film.damping.size() == 4);
    CHECK(film.damping[0].temperature == 5);
    CHECK_THAT(film.damping[1].temperature, WithinRel(20.0, eps));
    CHECK_THAT(film.damping[3].temperature, WithinRel(40.0, 1e-13)); // from kelvins: three digits are lost
    check_range(film.damping[1].G, 0.2e6, 0.4e6, 0.8e6);
    CHECK(film.damping[2].frequency == 1000);
    CHECK_THAT(film.damping[2].G.value, WithinRel(4.47e6 / 2.98, eps)); // Reference: G = E / (2 (1 + 0.49))
    check_range(film.damping[2].eta, 0.8, 1, 1.2);
    // The single figures: 20 °C, and 100 Hz is nearer to 200 Hz than 1 kHz.
    check_range(film.G12, 0.2e6, 0.4e6, 0.8e6);
    CHECK_THAT(film.E1.value, WithinRel(2 * 0.4e6 * 1.49, eps));
    CHECK(film.eta.value == 0.9);
    CHECK(film.is_isotropic);
    CHECK(film.nu12.value == 0.49);
}

TEST_CASE("a library's damping stock brings its table and its facing", "[app][input][damping]")
{
    const CabinetPlan plan =
        box_with("damping:\n  - {name: a, board: back, material: viscoelastic_film, thickness: 0.02}\n"
                 "  - {name: b, board: left, material: butyl_foil, thickness: 2}\n");
    REQUIRE(plan.layers.size() == 2);
    const Layup& film = plan.layers[0].layup;
    REQUIRE(film.plies.size() == 1);
    CHECK_THAT(film.thickness(), WithinRel(2e-5, eps));
    REQUIRE(material_of(plan, film.plies[0]).damping.size() == 2);
    CHECK_THAT(material_of(plan, film.plies[0]).damping[1].G.value, WithinRel(1.5e6, eps));
    CHECK_THAT(material_of(plan, film.plies[0]).caution, Contains("ventilate"));
    const Layup& butyl = plan.layers[1].layup;
    REQUIRE(butyl.plies.size() == 2);
    CHECK_FALSE(material_of(plan, butyl.plies[0]).damping.empty());
    CHECK(material_of(plan, butyl.plies[1]).name == "aluminium"); // away from the board
    CHECK(material_of(plan, butyl.plies[1]).damping.empty());
}

TEST_CASE("layers: boards, faces, shares and rectangles", "[app][input][damping]")
{
    const CabinetPlan& plan = every_key();
    CHECK(plan.temperature == 15);
    REQUIRE(plan.layers.size() == 3);
    CHECK(plan.layers[0].name == "sheets (left)");
    CHECK(plan.layers[1].name == "sheets (right)");
    CHECK(plan.layers[1].board == "right");
    CHECK(plan.layers[0].inside);
    CHECK(plan.layers[0].cover == 0.6);
    CHECK_FALSE(plan.layers[0].x1.has_value());
    const LayerPlan& sandwich = plan.layers[2];
    CHECK(sandwich.name == "sandwich");
    CHECK_FALSE(sandwich.inside);
    CHECK(sandwich.cover == 1);
    REQUIRE(sandwich.layup.plies.size() == 2);
    CHECK_THAT(sandwich.layup.plies[0].thickness, WithinRel(5e-5, eps));
    CHECK_THAT(sandwich.layup.plies[1].angle, WithinRel(std::numbers::pi / 2, eps));
    CHECK(sandwich.x1 == 0.02);
    CHECK(sandwich.y2 == 0.2);
    CHECK_FALSE(sandwich.z1.has_value());
}

TEST_CASE("boards in layers: a glue line, true plywood, a facing on the inside", "[app][input][damping]")
{
    const CabinetPlan plan = parse_cabinet(
        "name: t\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
        "boards:\n  all: {material: mdf, thickness: 18}\n"
        "  front: {layers: [{material: mdf, thickness: 18}, {material: wood_glue, thickness: 0.1}, {material: mdf, "
        "thickness: 18}]}\n"
        "  back: {layers: [{material: birch_plywood, thickness: 17.6}, {material: wood_glue, thickness: 0.1}, "
        "{material: "
        "birch_plywood, thickness: 6.4, rotation: 90 deg}]}\n"
        "  left: {layers: [{material: butyl_foil, thickness: 2}, {material: mdf, thickness: 16}]}\n",
        "t", library());
    CHECK_THAT(plan.walls[0].layup.thickness(), WithinRel(0.0361, eps));
    // Reference: 13 and 5 plies of birch plywood, one of glue. Tolerance: round-off of the sum over plies.
    CHECK(plan.walls[2].layup.plies.size() == 19);
    CHECK_THAT(plan.walls[2].layup.thickness(), WithinRel(0.0241, 1e-12));
    const Layup& left = plan.walls[3].layup;
    REQUIRE(left.plies.size() == 3);
    CHECK(material_of(plan, left.plies[0]).name == "aluminium");
    CHECK_NOTHROW(build_cabinet(plan));
}

TEST_CASE("joints: figures, ranges and what follows from the wood", "[app][input][joint]")
{
    using Kind = JointPlan::Kind;
    const CabinetPlan& plan = every_key();
    REQUIRE(plan.joints.size() == 5);
    const JointPlan &panel = plan.joints[0], &baffle = plan.joints[1], &floor = plan.joints[2], &tape = plan.joints[4];
    CHECK(panel.kind == Kind::Screwed);
    CHECK(panel.neighbour.empty());
    CHECK(panel.spacing == 0.12);
    CHECK_THAT(panel.lip, WithinRel(4e-3, eps));
    check_range(panel.loss, 0.05, 0.1, 0.2);
    // Reference: ρ^1.5 d/23 N/mm of 5 mm screws, back of 12 mm MDF and 9 mm of 620 kg/m³; twice that along the screw.
    //   Tolerance: round-off of the sum over plies.
    const double rho_mdf = material_of(plan, plan.walls[2].layup.plies[0]).rho.value;
    const double by_hand = std::pow((12 * rho_mdf + 9 * 620) / 21, 1.5) * 5 / 23 * 1e3;
    CHECK_THAT(panel.screw_shear.value, WithinRel(by_hand, 1e-12));
    CHECK_THAT(panel.screw_shear.low, WithinRel(by_hand / 2, 1e-12));
    CHECK_THAT(panel.screw_shear.high, WithinRel(by_hand * 2, 1e-12));
    CHECK_THAT(panel.screw_axial.value, WithinRel(by_hand * 2, 1e-12));
    CHECK_THAT(panel.screw_axial.low, WithinRel(by_hand, 1e-12));
    CHECK_THAT(panel.screw_axial.high, WithinRel(by_hand * 5, 1e-12));

    CHECK(baffle.kind == Kind::Gasket);
    CHECK(baffle.spacing == 0.15); // the fixings' usual
    check_range(baffle.screw_axial, 4e6, 8e6, 16e6);
    check_range(baffle.screw_shear, 4e6, 4e6, 4e6);
    check_range(baffle.strip_E, 0.3e6, 0.8e6, 3e6);
    check_range(baffle.loss, 0.1, 0.25, 0.4);
    check_range(baffle.screw_loss, 0.03, 0.1, 0.3);
    CHECK_THAT(baffle.strip_thickness, WithinRel(3e-3, eps));
    check_range(floor.strip_E, 1e6, 1e6, 1e6);
    check_range(floor.loss, 0.2, 0.2, 0.2);
    CHECK(plan.joints[3].kind == Kind::Glued);
    CHECK(tape.kind == Kind::Springs);
    check_range(tape.normal, 2e7, 2e7, 2e7);
    check_range(tape.shear, 4e6, 6e6, 9e6);
}

TEST_CASE("a screw between two woods takes the root of their densities' product", "[app][input][joint]")
{
    const CabinetPlan plan = parse_cabinet(
        "name: t\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
        "materials: {light: {E: 1 GPa, nu: 0.3, density: 400 kg/m3, loss: 0}, heavy: {E: 1 GPa, nu: 0.3, density: 900 "
        "kg/m3, loss: 0}}\n"
        "boards: {all: {material: light, thickness: 18}, back: {material: heavy, thickness: 18}}\n"
        "joints: [{name: a, board: back, neighbour: left, kind: screwed}, {name: b, board: back, kind: screwed}]\n",
        "t", library());
    // Reference: √(400 × 900) = 600; 600^1.5 × 4/23 and 900^1.5 × 4/23 N/mm. Tolerance: round-off.
    CHECK_THAT(plan.joints[0].screw_shear.value, WithinRel(std::pow(600, 1.5) * 4 / 23 * 1e3, 1e-12));
    CHECK_THAT(plan.joints[1].screw_shear.value, WithinRel(27000 * 4.0 / 23 * 1e3, 1e-12));
}

TEST_CASE("drivers held softly", "[app][input][mount]")
{
    const InsertPlan& woofer = every_key().openings.at(2).insert;
    check_range(woofer.mount.value().stiffness, 2e7, 2e7, 2e7);
    check_range(woofer.mount->loss, 0.1, 0.1, 0.1);
    CHECK(woofer.rear_tie.value().board == "rear_bar");
    CHECK_THAT(woofer.rear_tie->depth, WithinRel(0.175, eps));
    check_range(woofer.rear_tie->spring.stiffness, 4e6, 5e6, 7e6);
    check_range(woofer.rear_tie->spring.loss, 0.08, 0.08, 0.08);
    const CabinetPlan plan =
        box_with("openings: [{name: w, board: front, shape: circle, diameter: 100, at: {x: 100, z: "
                 "120}, driver: {mass: 2 kg, mount: gasket}}]\n");
    // Reference: the shipped preset. Tolerance: its unit.
    check_range(plan.openings[0].insert.mount.value().stiffness, 2e6, 2e7, 1e8);
    check_range(plan.openings[0].insert.mount->loss, 0.1, 0.25, 0.4);
    CHECK_FALSE(plan.openings[0].insert.rear_tie);
}

TEST_CASE("supports by word, by figure and by deflection", "[app][input][support]")
{
    const CabinetPlan& plan = every_key();
    const SupportPlan &rubber = plan.supports.at(2), &soft = plan.supports.at(3);
    CHECK(rubber.kind == "rubber");
    CHECK(rubber.stiffness.isApprox(Vector3d(2e4, 2e4, 5e4), eps));
    check_range(rubber.stiffness_range, 0.4, 1, 6);
    check_range(rubber.loss, 0.2, 0.2, 0.2); // one's own figure goes before the preset's
    CHECK(soft.kind.empty());
    CHECK_THAT(soft.static_deflection.value(), WithinRel(1e-3, eps));
    check_range(soft.stiffness_range, 1, 1, 1);
    for (const char* kind : {"spikes", "rubber", "felt", "stand", "wall_bracket"}) {
        CAPTURE(kind);
        const CabinetPlan one =
            box_with("supports: [{name: f, board: back, points: [[50, 50]], kind: " + std::string(kind) + "}]\n");
        CHECK(one.supports[0].kind == kind);
        CHECK(one.supports[0].stiffness.minCoeff() > 1e3);
        CHECK(one.supports[0].stiffness_range.low < 0.5);
        CHECK(one.supports[0].stiffness_range.high > 2);
        CHECK(one.supports[0].loss.low > 0);
        CHECK(one.supports[0].loss.high > one.supports[0].loss.value);
        CHECK_NOTHROW(build_cabinet(one));
    }
}

TEST_CASE("feet may have ranges: the widest of the axes, the inverse of what they sink", "[app][input][support]")
{
    const auto read = [](const std::string& keys) {
        return box_with("supports: [{name: f, board: bottom, points: [[50, 50]], " + keys + "}]\n").supports.at(0);
    };
    check_range(read("stiffness: [10 kN/m, 20 kN/m, 80 kN/m]").stiffness_range, 0.5, 1, 4);
    // Reference by hand: x 0.5 to 2, y without range, z 0.8 to 3.
    const SupportPlan by_axes =
        read("stiffness: {x: [1 kN/m, 2 kN/m, 4 kN/m], y: 0, z: [8 kN/m, 10 kN/m, 30 kN/m]}, loss: [5 %, 10 %, 30 %]");
    check_range(by_axes.stiffness_range, 0.5, 1, 3);
    check_range(by_axes.loss, 0.05, 0.1, 0.3);
    CHECK(by_axes.stiffness.isApprox(Vector3d(2e3, 0, 1e4), eps));
    const SupportPlan sunk = read("kind: rubber, static_deflection: [0.5, 1, 4]");
    CHECK_THAT(sunk.static_deflection.value(), WithinRel(1e-3, eps));
    check_range(sunk.stiffness_range, 0.25, 1, 2);
    check_range(sunk.loss, 0.05, 0.15, 0.3); // the preset's
    // Own figures bring their own range, not the preset's.
    check_range(read("kind: rubber, stiffness: 50 kN/m").stiffness_range, 1, 1, 1);
    check_range(read("kind: rubber, static_deflection: 1 mm").stiffness_range, 1, 1, 1);
    CHECK_THROWS_WITH(read("stiffness: {x: [0, 1 kN/m, 2 kN/m], y: 0, z: 1 kN/m}"),
                      Contains("stiffness.x: a range must begin above 0"));
    CHECK_THROWS_WITH(read("stiffness: [2 kN/m, 1 kN/m, 3 kN/m]"), Contains("low, typical, high in this order"));
}

TEST_CASE("without fixings in the materials folder the figures must be given", "[app][input][joint]")
{
    MaterialLibrary bare = library();
    bare.fixings.clear();
    CHECK_THROWS_WITH(
        parse_cabinet(box + "supports: [{name: f, board: bottom, points: [[50, 50]], kind: rubber}]\n", "t", bare),
        Contains("holds no fixings of this kind, give the figures"));
    CHECK_NOTHROW(parse_cabinet(
        box + "joints: [{name: j, board: back, kind: springs, normal: 1 MN/m2, shear: 1 MN/m2}]\n", "t", bare));
}
