// What boards shut off inside: by hand on boxes whose chambers are plain, and against the bookkeeping on others.
#include "mesh/cabinet/chambers.h"

#include "build_fixture.h"

using namespace build_fixture;

namespace {

OpeningPlan hole(const std::string& name, const std::string& board, double z_mm, double diameter_mm)
{
    OpeningPlan opening;
    opening.name = name;
    opening.board = board;
    opening.width = opening.height = diameter_mm * mm;
    if (z_mm > 0) opening.x = 120 * mm, opening.z = z_mm * mm;
    opening.where = at_line(40);
    return opening;
}

OpeningPlan cone(const std::string& name, double z_mm, double litres = 0)
{
    OpeningPlan opening = hole(name, "front", z_mm, 80);
    opening.insert.kind = InsertPlan::Kind::Driver;
    opening.insert.name = name;
    opening.insert.mass = 1;
    opening.insert.volume = litres * units::litre;
    return opening;
}

double sum_of(const Chambers& chambers)
{
    double sum = 0;
    for (const Chamber& chamber : chambers.all()) sum += chamber.volume;
    return sum;
}

} // namespace

TEST_CASE("a shelf parts the box in two chambers, each with what opens into it", "[mesh][chambers]")
{
    // Reference: rectangular rooms by hand: 204 × 264 mm inside, shelf's faces at 241 and 259 mm, inside from 18 to
    // 362 mm. Tolerance: round-off of corners found as plane sections.
    constexpr double section_round_off = 1e-9;
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 250)};
    plan.openings = {cone("woofer", 110, 0.4), cone("midrange", 310, 0.1)};
    const Cabinet cabinet = build_cabinet(plan);
    const Chambers chambers(cabinet);
    REQUIRE(chambers.all().size() == 2);
    const auto low = chambers.at({0.12, 0.15, 0.1}), high = chambers.at({0.12, 0.15, 0.3});
    REQUIRE(low.has_value());
    REQUIRE(high.has_value());
    const Chamber &below = chambers.all()[static_cast<std::size_t>(*low)],
                  &above = chambers.all()[static_cast<std::size_t>(*high)];
    CHECK(below.name == "chamber of woofer");
    CHECK(above.name == "chamber of midrange");
    CHECK_THAT(below.volume, WithinRel(0.204 * 0.264 * 0.223 - 0.4e-3, section_round_off));
    CHECK_THAT(above.volume, WithinRel(0.204 * 0.264 * 0.103 - 0.1e-3, section_round_off));
    CHECK(below.lines.size() == 2);
    CHECK(chambers.at({0.12, 0.15, 0.25}) == std::nullopt); // wood
    CHECK(chambers.behind(0, 0) == low);
}

TEST_CASE("a window, a notch or a free edge joins chambers", "[mesh][chambers]")
{
    // Reference: the whole net volume of the bookkeeping, which comes from boards' solids. Tolerance: round-off, and
    // for the round window its chords, 1e-5 of its radius: 3e-8 of the box.
    constexpr double chords = 1e-7;
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 190)};
    SECTION("window")
    {
        plan.openings = {hole("window", "shelf", 0, 90)};
    }
    SECTION("free edge")
    {
        plan.braces[0].y_from = 60 * mm;
    }
    const Cabinet cabinet = build_cabinet(plan);
    const Chambers chambers(cabinet);
    REQUIRE(chambers.all().size() == 1);
    CHECK_THAT(sum_of(chambers), WithinRel(bookkeeping(cabinet).net_volume_m3, chords));
}

TEST_CASE("crossing plates make four chambers, a window three", "[mesh][chambers]")
{
    // Reference: the bookkeeping, as above. Tolerance: the chords of the window, as above.
    constexpr double chords = 1e-7;
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 190),
                   brace("upright", BracePlan::Plane::FrontToBack, 110, 15)};
    const Cabinet closed = build_cabinet(plan);
    const Chambers four(closed);
    CHECK(four.all().size() == 4);
    CHECK_THAT(sum_of(four), WithinRel(bookkeeping(closed).net_volume_m3, chords));

    OpeningPlan window = hole("window", "upright", 0, 60);
    window.y = 150 * mm;
    window.z = 280 * mm;
    plan.openings = {window};
    const Cabinet open = build_cabinet(plan);
    const Chambers three(open);
    CHECK(three.all().size() == 3);
    CHECK_THAT(sum_of(three), WithinRel(bookkeeping(open).net_volume_m3, chords));
}

TEST_CASE("slanted plates and re-entrant walls keep the bookkeeping's volume", "[mesh][chambers]")
{
    // Reference: the bookkeeping's net volume. Tolerance: round-off.
    constexpr double section_round_off = 1e-9;
    CabinetPlan plan = box_plan();
    std::size_t expected = 2;
    SECTION("leaning front and slanted plate")
    {
        plan.baffle_slope = 0.1;
        BracePlan slanted = brace("slanted", BracePlan::Plane::Slanted, 0, 12);
        slanted.point = {0.12, 0.16, 0.2};
        slanted.normal = {0, std::sin(0.5), std::cos(0.5)};
        plan.braces = {slanted};
    }
    SECTION("an L without plates is one chamber")
    {
        plan = l_plan();
        expected = 1;
    }
    SECTION("an L with a plate across one leg")
    {
        plan = l_plan();
        BracePlan upright = brace("upright", BracePlan::Plane::FrontToBack, 200);
        plan.braces = {upright};
    }
    const Cabinet cabinet = build_cabinet(plan);
    const Chambers chambers(cabinet);
    CHECK(chambers.all().size() == expected);
    CHECK_THAT(sum_of(chambers), WithinRel(bookkeeping(cabinet).net_volume_m3, section_round_off));
}
