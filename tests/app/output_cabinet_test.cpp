#include "tests/app/output_fixture.h"

#include "app/verbs/check/cabinet_drawing.h"
#include "app/write/damping_note.h"
#include "app/write/openings.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cmath>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Opening shaped(OpeningPlan::Shape shape, double width, double height, double corner_radius = 0)
{
    Opening opening;
    opening.shape = shape;
    opening.centre = {0.3, -0.2};
    opening.width = width;
    opening.height = height;
    opening.corner_radius = corner_radius;
    opening.rotation = 0.4;
    return opening;
}

} // namespace

TEST_CASE("openings in words", "[app][output]")
{
    using Shape = OpeningPlan::Shape;
    CHECK(opening_size(shaped(Shape::Circle, 0.15, 0.15)) == "round 150");
    CHECK(opening_size(shaped(Shape::Slot, 0.12, 0.03)) == "slot 120 × 30");
    CHECK(opening_size(shaped(Shape::RoundedRectangle, 0.2, 0.1, 0.02)) == "200 × 100 corners r 20");
}

TEST_CASE("outer size: bounding box, a front that leans forwards adds its overhang", "[app][output]")
{
    CabinetPlan plan;
    plan.outline = {{0, 0}, {0.3, 0}, {0.25, 0.4}, {0.05, 0.4}};
    plan.height = 1.0;
    CHECK_THAT((outer_size(plan) - Vector3d(0.3, 0.4, 1.0)).norm(), WithinAbs(0, 1e-12));
    plan.baffle_slope = 0.1;
    CHECK_THAT(outer_size(plan).y(), WithinAbs(0.4, 1e-12));
    plan.baffle_slope = -0.1;
    // Reference: 1 m × tan 0.1 rad. Tolerance: round-off.
    CHECK_THAT(outer_size(plan).y(), WithinAbs(0.4 + std::tan(0.1), 1e-12));
}

TEST_CASE("cut list: equal blanks are one line", "[app][output]")
{
    Bookkeeping books;
    books.parts = {{"left", "mdf", 0.38, 0.264, 0.018, 0, 0},
                   {"top", "mdf", 0.22, 0.264, 0.018, 0, 0},
                   {"right", "mdf", 0.38, 0.264 + 4e-5, 0.018, 0, 0}, // rounds to the same tenth
                   {"front", "mdf", 0.38, 0.264, 0.022, 0, 0}};
    const std::vector<CutLine> lines = cut_list(books);
    REQUIRE(lines.size() == 3);
    CHECK(lines[0].names == std::vector<std::string>{"front"}); // thickest first
    CHECK(lines[1].names == std::vector<std::string>{"left", "right"});
}

TEST_CASE("check: text and JSON tell the boards, openings and totals", "[app][output]")
{
    const test::SmallReport report;
    const std::string text = check_text(report.check());
    CAPTURE(text);
    CHECK_THAT(text, Contains("300 × 200") && Contains("brace") && Contains("woofer_hole"));
    CHECK_THAT(text, Contains("round 150") && Contains("driver") && Contains("14.3 litres net"));
    // Reference: π 75² / (200 × 300) = 29.5 %.
    CHECK_THAT(text, Contains("open 29 %"));
    CHECK_THAT(text, Contains("300 × 200 × 18") && Contains("front, shelf"));

    const auto json = nlohmann::json::parse(check_json(report.check()));
    CHECK(json["parts"].size() == 2);
    CHECK(json["openings"][0]["fitting_mass_kg"] == 1.5);
    CHECK_THAT(json["cabinet"]["gross_volume_l"].get<double>(), WithinRel(16.04, 1e-12)); // Tolerance: round-off
}

TEST_CASE("check: layers, joints, mounts and supports are told with their figures", "[app][output]")
{
    test::SmallReport report;
    Cabinet& cabinet = report.cabinet;
    Material sheet;
    sheet.rho.value = 1700;
    sheet.caution = "Ventilate & beware.";
    cabinet.materials = {sheet};
    cabinet.temperature = 15;
    FaceLayer layer;
    layer.name = "pad";
    layer.side = -1;
    layer.layup = {{{0, 2e-3, 0}}, "sheet 2 mm"};
    layer.region = {{0.02, 0.02}, {0.18, 0.02}, {0.18, 0.28}, {0.02, 0.28}};
    layer.area = 0.03;
    cabinet.layers = {layer};
    report.books.parts.push_back({"pad", "sheet 2 mm", 0.26, 0.16, 5e-5, 0.03, 0.1});
    report.books.layer_mass = 0.1;
    report.books.mass += 0.1;
    Junction tee;
    tee.ending = 1;
    tee.to = {0.2, 0, 0};
    tee.spring = LineSpring{"baffle",
                            {5e7, 2.5e7, 1e8, "", ""},
                            {2e7, 2e7, 2e7, "", ""},
                            {4e3, 2e3, 8e3, "", ""},
                            {0.1, 0.03, 0.3, "", ""},
                            0.018,
                            1,
                            {}};
    cabinet.junctions = {tee};
    InsertPlan& driver = cabinet.boards[0].openings[0].insert;
    driver.mount = {{2e7, 2e6, 1e8, "", ""}, {0.25, 0.1, 0.4, "", ""}};
    driver.rear_tie = {"shelf", 0.09, {{5e6, 5e6, 5e6, "", ""}, {}}};
    Support feet;
    feet.name = "feet";
    feet.board = 1;
    feet.points = {{0.1, 0.1}, {0.1, 0.2}};
    feet.stiffness = {2e4, 2e4, 5e4};
    feet.stiffness_range = {1, 0.4, 6, "", ""};
    feet.loss = {0.15, 0.05, 0.3, "", ""};
    feet.kind = "rubber";
    cabinet.supports = {feet};

    const std::string text = check_text(report.check());
    CAPTURE(text);
    CHECK_THAT(text, Contains("pad    layer") && Contains("260 × 160") && Contains("0.05"));
    CHECK_THAT(text, Contains("inside") && Contains("50 %") && Contains("3.4") && Contains("taken at 15 °C"));
    CHECK_THAT(text, Contains("50 (25–100)") && Contains("0.1 (0.03–0.3)"));
    CHECK_THAT(text, Contains("20 / 20 / 50") && Contains("2 points") && Contains("rubber"));
    CHECK_THAT(text, Contains("20 (2–100)") && Contains("0.25 (0.1–0.4)") && Contains("0.4–6") &&
                         Contains("0.15 (0.05–0.3)"));
    CHECK_THAT(text, Contains("layers 0.10") && Contains("Layers: Ventilate & beware."));

    const auto json = nlohmann::json::parse(check_json(report.check()));
    CHECK(json["temperature_C"] == 15);
    CHECK(json["layers"][0]["thickness_mm"] == 2);
    CHECK(json["joints"][0]["removable"] == "shelf");
    CHECK(json["joints"][0]["neighbour"] == "front");
    CHECK(json["joints"][0]["normal_N_per_mm2"] == nlohmann::json({25, 50, 100}));
    CHECK(json["mounts"][0]["rear_touches"] == "shelf");
    CHECK_THAT(json["mounts"][0]["rear_depth_mm"].get<double>(), WithinRel(90.0, 1e-12)); // Exact: 0.09 m
    CHECK(json["mounts"][0]["rim_stiffness_N_per_m"] == nlohmann::json({2e6, 2e7, 1e8}));
    CHECK(json["mounts"][0]["rim_loss"] == nlohmann::json({0.1, 0.25, 0.4}));
    CHECK(json["supports"][0]["stiffness_xyz_N_per_m"][2] == 5e4);
    CHECK(json["supports"][0]["stiffness_range"] == nlohmann::json({0.4, 1, 6}));
    CHECK(json["supports"][0]["loss"] == nlohmann::json({0.05, 0.15, 0.3}));
    CHECK(json["cabinet"]["layers_mass_kg"] == 0.1);
    CHECK_THAT(json["cabinet"]["rods_and_ribs_mass_kg"].get<double>(), WithinAbs(0, 1e-12)); // Tolerance: round-off

    const std::string svg = cabinet_svg(report.check());
    CHECK_THAT(svg, Contains("class=\"layer\"") && Contains("class=\"foot\""));
}

TEST_CASE("check: what was taken for each driver's basket", "[app][output][basket]")
{
    test::SmallReport report;
    CHECK_THAT(check_text(report.check()), Contains("Driver's basket") && Contains("rigid"));
    CHECK(nlohmann::json::parse(check_json(report.check()))["baskets"][0]["kind"] == "rigid");

    Basket& basket = report.cabinet.boards[0].openings[0].insert.basket.emplace();
    basket.kind = Basket::Kind::PressedSteel;
    basket.rim_share = {0.15, 0.1, 0.2, "", "from memory"};
    basket.axial_Hz = {610, 610, 610, "", ""};
    basket.rocking_Hz = {370, 310, 430, "", ""};
    const std::string text = check_text(report.check());
    CAPTURE(text);
    CHECK_THAT(text, Contains("pressed steel") && Contains("0.15 (0.1–0.2)") && Contains("370 (310–430)") &&
                         Contains("from memory"));
    const auto json = nlohmann::json::parse(check_json(report.check()))["baskets"][0];
    CHECK(json["kind"] == "pressed steel");
    CHECK(json["rim_mass_share"] == nlohmann::json({0.1, 0.15, 0.2}));
    CHECK(json["motor_frequency_hz"] == nlohmann::json({610, 610, 610}));
}

TEST_CASE("drawing: three views to scale, names escaped", "[app][output]")
{
    test::SmallReport report;
    report.cabinet.name = "A & B <two>";
    // The front faces the reader: n = −y, so e1 = x, e2 = z.
    report.cabinet.boards[0].frame = {{0, 0.009, 0}, Vector3d::UnitX(), Vector3d::UnitZ(), -Vector3d::UnitY()};
    report.cabinet.boards[1].frame = {{0, 0.018, 0.1}, Vector3d::UnitX(), Vector3d::UnitY(), Vector3d::UnitZ()};
    const std::string svg = cabinet_svg(report.check());
    CHECK_THAT(svg, Contains("A &amp; B &lt;two&gt;") && !Contains("<two>"));
    CHECK_THAT(svg, Contains("id=\"front\"") && Contains("id=\"right side\"") && Contains("id=\"top\""));
    // Reference: needed 200 + 318 mm wide and 300 + 318 mm high; at 1:2 the height is 309 mm of 217, at 1:5 it fits.
    CHECK_THAT(svg, Contains("scale 1:5"));
    CHECK_THAT(svg, Contains(">200<") && Contains(">300<") && Contains(">318<"));
    CHECK_THAT(svg, Contains("woofer_hole") && Contains("round 150"));
}

TEST_CASE("a damping table that ends before the cabinet's temperature is told", "[output]")
{
    Cabinet cabinet;
    Material film;
    film.name = "film";
    film.damping = {{10, 100, {}, {}}, {30, 100, {}, {}}};
    cabinet.materials = {film, Material{}};
    cabinet.temperature = 20;
    CHECK(damping_notes(cabinet).empty());
    cabinet.temperature = 5;
    REQUIRE(damping_notes(cabinet).size() == 1);
    CHECK(damping_notes(cabinet)[0] ==
          "the table of film ends at 10 °C: at 5 °C it is taken as there, which may be far off");
}
