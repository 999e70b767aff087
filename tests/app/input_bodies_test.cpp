// What a driver takes up, notched plates and weights, as they are read.

#include "app/input/cabinet_file.h"
#include "app/input/cabinet_source.h"

#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

const std::string head = "name: t\ncabinet: {shape: box, width: 240, height: 340, depth: 260}\n"
                         "boards: {all: {material: mdf, thickness: 18}}\n";
const std::string woofer =
    "openings: [{name: w, board: front, shape: circle, diameter: 150, at: {x: 120, z: 120}, driver: "
    "{mass: 2 kg, depth: 82, magnet_diameter: 4 in, flange_diameter: 17 cm, recess: 5, screws: "
    "{count: 6, circle: 160, pilot: 3.5}}}]\n";

} // namespace

TEST_CASE("a driver's body is read in SI units", "[app][input][bodies]")
{
    const CabinetPlan plan = parse_cabinet(head + woofer, "t", library());
    const DriverBody& body = plan.openings.at(0).insert.body;
    // Reference: the figures as written. Tolerance: roundings.
    constexpr double eps = 1e-14;
    CHECK_THAT(body.depth.value(), WithinRel(0.082, eps));
    CHECK_THAT(body.magnet_diameter.value(), WithinRel(0.1016, eps));
    CHECK_THAT(body.flange_diameter.value(), WithinRel(0.17, eps));
    CHECK_THAT(body.recess, WithinRel(0.005, eps));
    REQUIRE(body.screws);
    CHECK(body.screws->count == 6);
    CHECK_THAT(body.screws->circle, WithinRel(0.16, eps));
    CHECK_THAT(body.screws->pilot, WithinRel(0.0035, eps));
}

TEST_CASE("notched plates and weights are read", "[app][input][bodies]")
{
    const CabinetPlan plan =
        parse_cabinet(head + woofer +
                          "braces: [{name: shelf, plane: horizontal, at: 130, notched: yes}, {name: lid, plane: "
                          "horizontal, at: 290, notched: no}]\n"
                          "masses: [{name: crossover, board: bottom, at: {x: 120, y: 150}, mass: 350 g, width: 90, "
                          "height: 120}]\n",
                      "t", library());
    CHECK(plan.braces.at(0).notched);
    CHECK_FALSE(plan.braces.at(1).notched);
    const MassPlan& mass = plan.masses.at(0);
    // Reference: the figures as written. Tolerance: roundings.
    constexpr double eps = 1e-14;
    CHECK(mass.board == "bottom");
    CHECK_THAT(mass.mass, WithinRel(0.35, eps));
    CHECK_THAT(mass.x.value(), WithinRel(0.12, eps));
    CHECK_THAT(mass.y.value(), WithinRel(0.15, eps));
    CHECK_THAT(mass.height, WithinRel(0.12, eps));
}

TEST_CASE("what is handed out fits; what can only be read is told apart", "[app][input][bodies]")
{
    const CabinetSource source(head + woofer + "braces: [{name: shelf, plane: horizontal, at: 230}]\n", "t", library());
    Setting low;
    low.path = "braces.shelf.at";
    low.text = "130";
    CHECK_NOTHROW(source.check_settings({low}));
    CHECK_THROWS_WITH(source.plan({low}),
                      Contains("runs into the hole 'w' in 'front'") && Contains("move it to 204 mm"));
    low.text = "a shelf";
    CHECK_THROWS_WITH(source.check_settings({low}), Contains("must be a length"));
    CHECK_THROWS_WITH(source.variant_of_text("{name: x, change: {braces.shelf.at: 130}}"),
                      Contains("runs into the hole 'w' in 'front'"));
}
