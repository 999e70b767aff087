#include "tests/mesh/build_fixture.h"

using namespace build_fixture;

namespace {

struct PartMass
{
    const char* name;
    double kg;
};

void check_masses(const Bookkeeping& book, const std::vector<PartMass>& expected, double relative)
{
    for (const PartMass& part : expected) {
        CAPTURE(part.name);
        CHECK_THAT(part_mass(book, part.name), WithinRel(part.kg, relative));
    }
}

} // namespace

TEST_CASE("masses of two boxes against their solid models", "[mesh][build][reference]")
{
    // Reference: 3-D elasticity reference, own computation: masses of the solid meshes of boxes A and C.
    // Tolerance: 1e-12 for plane boxes (exact in both); 1e-6 where the reference mesh has holes with
    //   straight chords (its own defect is 1.3e-7).
    SECTION("A: a plain 18 mm box")
    {
        const Bookkeeping book = bookkeeping(build_cabinet(box_plan()));
        check_masses(book,
                     {{"front", 1.2312},
                      {"back", 1.2312},
                      {"left", 1.35432},
                      {"right", 1.35432},
                      {"bottom", 0.727056},
                      {"top", 0.727056}},
                     1e-12);
        CHECK_THAT(book.board_mass, WithinRel(6.625152, 1e-12));
        CHECK_THAT(book.mass, WithinRel(6.625152, 1e-12));
    }
    SECTION("C: thick front with two holes, thin back, shelf with a window")
    {
        CabinetPlan plan = box_plan({.front = 30, .back = 12});
        plan.openings = {hole_xz("woofer", "front", 170, 120, 130), hole_xz("tweeter", "front", 90, 120, 290),
                         hole("window", "shelf", 0)};
        plan.openings[2].shape = OpeningPlan::Shape::Rectangle;
        plan.openings[2].width = 110 * mm;
        plan.openings[2].height = 150 * mm;
        plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 205)};
        const Cabinet cabinet = build_cabinet(plan);
        const Bookkeeping book = bookkeeping(cabinet);
        check_masses(book, {{"front", 1.3981569170067605}}, 1e-6);
        check_masses(book,
                     {{"back", 0.8208},
                      {"left", 1.32354},
                      {"right", 1.32354},
                      {"bottom", 0.710532},
                      {"top", 0.710532},
                      {"shelf", 0.487782}},
                     1e-12);
        CHECK_THAT(book.board_mass, WithinRel(6.774882028971623, 1e-12));
        // Reference: by hand, mid width and mid clear depth (30 to 288 mm). Tolerance: round-off.
        const Opening& window = board(cabinet, "shelf").openings[0];
        CHECK_THAT(window.centre.x(), WithinAbs(0.12, round_off));
        CHECK_THAT(window.centre.y(), WithinAbs(0.159, round_off));
        // Reference: inner box 204 × 258 × 344 less the shelf's wood. Tolerance: round-off.
        CHECK_THAT(book.gross_volume_m3, WithinRel(0.204 * 0.258 * 0.344, 1e-12));
        CHECK_THAT(book.net_volume_m3, WithinRel(0.204 * 0.258 * 0.344 - 0.487782 / 750, 1e-12));
    }
}

TEST_CASE("masses of a box of 15 mm boards against its solid model", "[mesh][build][reference]")
{
    // Reference: 3-D elasticity reference, own computation: masses of the solid mesh of box F.
    // Tolerance: round-off; plane boxes are exact in both.
    const BoxSizes sizes{.front = 15, .back = 15, .side = 15, .lid = 15};
    const Bookkeeping book = bookkeeping(build_cabinet(box_plan(sizes, 680)));
    check_masses(book,
                 {{"front", 0.93024},
                  {"back", 0.93024},
                  {"left", 1.04652},
                  {"right", 1.04652},
                  {"bottom", 0.57834},
                  {"top", 0.57834}},
                 1e-12);
    CHECK_THAT(book.board_mass, WithinRel(5.1102, 1e-12));
}

TEST_CASE("a board's mass sums its plies", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.materials.push_back(material_of(1500));
    plan.walls[2].layup.plies = {{1, 2 * mm, 0}, {0, 16 * mm, 0}}; // damping sheet inside the back
    const Bookkeeping book = bookkeeping(build_cabinet(plan));
    // Reference: 240 × 380 mm times (2 mm · 1500 + 16 mm · 750). Tolerance: round-off.
    CHECK_THAT(part_mass(book, "back"), WithinRel(0.24 * 0.38 * (0.002 * 1500 + 0.016 * 750), 1e-12));
}

TEST_CASE("inserts, rods and ribs count", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.openings = {hole_xz("woofer", "front", 150, 120, 130)};
    plan.openings[0].insert.kind = InsertPlan::Kind::Driver;
    plan.openings[0].insert.mass = 2.5;
    plan.openings[0].insert.volume = 0.8 * units::litre;
    RodPlan rod;
    rod.name = "rod";
    rod.from = {0.018, 0.15, 0.25};
    rod.to = {0.222, 0.15, 0.25};
    rod.diameter = 20 * mm;
    plan.rods = {rod};
    RibPlan rib;
    rib.name = "rib";
    rib.board = "back";
    rib.x1 = rib.x2 = 0.12;
    rib.z1 = 0.05;
    rib.z2 = 0.35;
    rib.width = 20 * mm;
    rib.height = 40 * mm;
    plan.ribs = {rib};
    const Cabinet cabinet = build_cabinet(plan);
    const Bookkeeping book = bookkeeping(cabinet);
    // Reference: rod π/4·20²·204 mm between the inner faces; rib 20 × 40 × 300 mm; woofer 2.5 kg, 0.8 l.
    // Tolerance: round-off.
    const double rod_volume = std::numbers::pi / 4 * 0.02 * 0.02 * 0.204, rib_volume = 0.02 * 0.04 * 0.3;
    CHECK_THAT(part_mass(book, "rod"), WithinRel(rod_volume * 750, 1e-12));
    CHECK_THAT(part_mass(book, "rib"), WithinRel(rib_volume * 750, 1e-12));
    CHECK_THAT(book.net_volume_m3, WithinRel(0.204 * 0.264 * 0.344 - rod_volume - rib_volume - 0.0008, 1e-12));
    CHECK(book.insert_mass == 2.5);
    CHECK_THAT(book.mass, WithinRel(book.board_mass + 2.5 + (rod_volume + rib_volume) * 750, 1e-12));
    CHECK(cabinet.rods[0].board_from == cabinet.board_index("left"));
    CHECK(cabinet.rods[0].board_to == cabinet.board_index("right"));
    // Reference: snapped to the mid-planes at 9 and 231 mm. Tolerance: round-off.
    CHECK_THAT(cabinet.rods[0].from.x(), WithinAbs(0.009, round_off));
    CHECK_THAT(cabinet.rods[0].to.x(), WithinAbs(0.231, round_off));
    CHECK(cabinet.ribs[0].side == -1);
}
