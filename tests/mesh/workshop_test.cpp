// Parts as sawn, parts on boards, litres line by line, balance.

#include "mesh/cabinet/volume_lines.h"
#include "mesh/sawing/sheet_layout.h"
#include "mesh/sawing/stability.h"
#include "tests/mesh/build_fixture.h"

#include <algorithm>
#include <random>

using namespace build_fixture;

namespace {

SawnPart part(const std::string& name, double length_mm, double width_mm, const std::string& material = "board",
              bool grain = false)
{
    SawnPart p;
    p.name = name;
    p.material = material;
    p.length = length_mm * mm;
    p.width = width_mm * mm;
    p.has_grain = grain;
    return p;
}

WorkshopPlan shop(double length_mm, double width_mm, double kerf_mm = 3, double trim_mm = 10)
{
    WorkshopPlan plan;
    plan.kerf = kerf_mm * mm;
    plan.trim = trim_mm * mm;
    plan.sheets = {{"board", 18 * mm, length_mm * mm, width_mm * mm, 20, {}}};
    return plan;
}

/// Parts inside the trimmed board, a kerf apart, none twice.
void check_layout(const SheetLayout& layout, const std::vector<SawnPart>& parts, const WorkshopPlan& plan)
{
    std::vector<int> count(parts.size(), 0);
    for (const UsedSheet& sheet : layout.sheets) {
        const SheetStock& stock = plan.sheets[sheet.stock];
        for (std::size_t i = 0; i < sheet.parts.size(); ++i) {
            const PlacedPart& a = sheet.parts[i];
            ++count[a.part];
            CHECK(a.x >= plan.trim - 1e-9);
            CHECK(a.y >= plan.trim - 1e-9);
            CHECK(a.x + a.along <= stock.length - plan.trim + 1e-6);
            CHECK(a.y + a.across <= stock.width - plan.trim + 1e-6);
            CHECK_THAT(a.along * a.across, WithinRel(parts[a.part].length * parts[a.part].width, 1e-9));
            if (plan.keeps_grain && parts[a.part].has_grain) CHECK_THAT(a.along, WithinAbs(parts[a.part].length, 1e-9));
            for (std::size_t j = 0; j < i; ++j) {
                const PlacedPart& b = sheet.parts[j];
                const double apart_x = std::max(a.x - b.x - b.along, b.x - a.x - a.along);
                const double apart_y = std::max(a.y - b.y - b.across, b.y - a.y - a.across);
                CHECK(std::max(apart_x, apart_y) >= plan.kerf - 1e-6);
            }
        }
    }
    for (std::size_t p = 0; p < parts.size(); ++p) {
        const bool is_left = std::count(layout.without_stock.begin(), layout.without_stock.end(), p) > 0 ||
                             std::count(layout.too_large.begin(), layout.too_large.end(), p) > 0;
        CHECK(count[p] == (is_left ? 0 : 1));
    }
}

} // namespace

TEST_CASE("parts go on boards without meeting each other", "[workshop][layout]")
{
    std::mt19937 random(3);
    std::uniform_real_distribution<double> side(60, 500);
    for (int round = 0; round < 30; ++round) {
        std::vector<SawnPart> parts;
        for (int i = 0; i < 14; ++i)
            parts.push_back(part(std::to_string(i), side(random), side(random), "board", i % 3 == 0));
        WorkshopPlan plan = shop(1220, 610);
        plan.keeps_grain = round % 2 == 0;
        const SheetLayout layout = lay_out(parts, plan);
        check_layout(layout, parts, plan);
        CHECK(layout.waste(plan) > 0);
        CHECK(layout.waste(plan) < 0.7); // fourteen parts of this size never fill a board this badly by hand either
    }
}

TEST_CASE("four quarters fill a board when kerf and trim are counted", "[workshop][layout]")
{
    // Exact, by hand: 2 × 300 + kerf 3 + trim 2 × 10 = 623; a millimetre less and two boards are needed.
    const std::vector<SawnPart> parts{part("a", 300, 200), part("b", 300, 200), part("c", 300, 200),
                                      part("d", 300, 200)};
    CHECK(lay_out(parts, shop(623, 423)).sheets.size() == 1);
    CHECK(lay_out(parts, shop(622, 423)).sheets.size() == 2);
    const SheetLayout exact = lay_out(parts, shop(623, 423));
    CHECK(exact.sheets.front().n_cuts == 4 + 3); // four edges, one cut across, two beside the parts
    CHECK_THAT(exact.waste(shop(623, 423)), WithinAbs(1 - 4 * 300 * 200 / (623.0 * 423.0), 1e-9));
}

TEST_CASE("grain, missing boards, parts too large, price", "[workshop][layout]")
{
    // Exact, by hand.
    WorkshopPlan plan = shop(1000, 300);
    const std::vector<SawnPart> across{part("a", 200, 400, "board", true)};
    CHECK(lay_out(across, plan).too_large == std::vector<std::size_t>{0});
    plan.keeps_grain = false;
    CHECK(lay_out(across, plan).sheets.size() == 1);
    const std::vector<SawnPart> mixed{part("a", 200, 100), part("b", 200, 100, "cork"), part("c", 1200, 100)};
    const SheetLayout layout = lay_out(mixed, plan);
    CHECK(layout.without_stock == std::vector<std::size_t>{1});
    CHECK(layout.too_large == std::vector<std::size_t>{2});
    check_layout(layout, mixed, plan);
    CHECK_FALSE(price_by_area(mixed, plan)); // cork has none
    CHECK_THAT(price_by_area({part("a", 200, 150)}, plan).value(), WithinRel(20 * 0.2 * 0.15 / (1.0 * 0.3), 1e-12));
    // A smaller board that costs less is taken where it does.
    plan.sheets.push_back({"board", 18 * mm, 400 * mm, 300 * mm, 5, {}});
    CHECK(lay_out({part("a", 200, 100)}, plan).sheets.front().stock == 1);
}

TEST_CASE("sawn sizes of a box by hand", "[workshop][parts]")
{
    // Exact, by hand: 240 × 380 × 300 outside, 18 mm all round: front and back cover the sides, sides cover top and
    // bottom.
    const CabinetPlan plan = box_plan();
    const Cabinet cabinet = build_cabinet(plan);
    const std::vector<SawnPart> parts = sawn_parts(plan, cabinet, bookkeeping(cabinet));
    const auto size = [&](const std::string& name) {
        const SawnPart& p = parts[static_cast<std::size_t>(cabinet.board_index(name).value())];
        return std::pair(p.length / mm, p.width / mm);
    };
    const auto check = [&](const std::string& name, double length, double width) {
        CAPTURE(name);
        CHECK_THAT(size(name).first, WithinAbs(length, 1e-6));
        CHECK_THAT(size(name).second, WithinAbs(width, 1e-6));
    };
    check("front", 380, 240);
    check("left", 380, 300 - 36);
    check("top", 300 - 36, 240 - 36);

    SECTION("a back in a rebate is smaller by twice the lip, its neighbours longer by its thickness")
    {
        CabinetPlan inset = plan;
        JointPlan joint;
        joint.name = "back";
        joint.kind = JointPlan::Kind::Screwed;
        joint.board = "back";
        joint.spacing = 0.15;
        joint.screw_axial = joint.screw_shear = {1e6, 1e6, 1e6, {}, {}};
        joint.lip = 6 * mm;
        inset.joints = {joint};
        const Cabinet with_lip = build_cabinet(inset);
        const std::vector<SawnPart> now = sawn_parts(inset, with_lip, bookkeeping(with_lip));
        const auto of = [&](const std::string& name) {
            return now[static_cast<std::size_t>(with_lip.board_index(name).value())];
        };
        CHECK_THAT(of("back").length / mm, WithinAbs(380 - 12, 1e-6));
        CHECK_THAT(of("back").width / mm, WithinAbs(240 - 12, 1e-6));
        CHECK_THAT(std::min(of("left").length, of("left").width) / mm, WithinAbs(264 + 18, 1e-6));
        REQUIRE(of("left").notes.size() == 1);
        CHECK(of("left").notes.front() == "rebate for back, 18 deep and 12 wide, leaving a lip of 6 mm");
        CHECK(of("front").notes.empty());
    }
}

TEST_CASE("the lines of the volume sum to the net volume", "[workshop][volume]")
{
    // Reference: the bookkeeping, which counts otherwise. Exact but for round-off.
    CabinetPlan plan = box_plan();
    BracePlan shelf;
    shelf.name = "shelf";
    shelf.at = 190 * mm;
    shelf.layup = board_of(18);
    BracePlan upright = shelf;
    upright.name = "upright";
    upright.plane = BracePlan::Plane::SideToSide;
    upright.at = 150 * mm;
    plan.braces = {shelf, upright};
    const Cabinet cabinet = build_cabinet(plan);
    double sum = 0;
    for (const VolumeLine& line : volume_lines(cabinet)) sum += line.volume;
    CHECK_THAT(sum, WithinRel(bookkeeping(cabinet).net_volume_m3, 1e-12));
    CHECK(volume_lines(cabinet).size() == 3);
}

TEST_CASE("balance of a plain box", "[workshop][stability]")
{
    // Exact, by hand: all walls alike: the centre of mass is the box's middle; it tips over its shorter half.
    const Cabinet cabinet = build_cabinet(box_plan());
    const Stability stability = stability_of(cabinet);
    CHECK_THAT(stability.centre.x(), WithinAbs(0.12, 1e-9));
    CHECK_THAT(stability.centre.y(), WithinAbs(0.15, 1e-9));
    CHECK_THAT(stability.centre.z(), WithinAbs(0.19, 1e-9));
    CHECK_THAT(stability.mass, WithinRel(bookkeeping(cabinet).mass, 1e-12));
    CHECK_THAT(std::tan(stability.tipping_angle), WithinRel(0.12 / 0.19, 1e-9));
    CHECK_FALSE(stability.on_feet);

    SECTION("a heavy driver draws it to the front, where it then falls")
    {
        CabinetPlan plan = box_plan();
        OpeningPlan hole;
        hole.name = "woofer";
        hole.board = "front";
        hole.width = hole.height = 0.15;
        hole.x = 0.12;
        hole.z = 0.19;
        hole.insert.kind = InsertPlan::Kind::Driver;
        hole.insert.mass = 50;
        plan.openings = {hole};
        const Stability heavy = stability_of(build_cabinet(plan));
        CHECK(heavy.towards == "front");
        CHECK(heavy.centre.y() < 0.03);
        CHECK_THAT(std::tan(heavy.tipping_angle), WithinRel(heavy.centre.y() / heavy.centre.z(), 1e-9));
    }
    SECTION("feet set in by 40 mm")
    {
        CabinetPlan plan = box_plan();
        SupportPlan feet;
        feet.name = "feet";
        feet.board = "bottom";
        feet.points = {{0.04, 0.04}, {0.2, 0.04}, {0.2, 0.26}, {0.04, 0.26}};
        feet.stiffness = Vector3d::Constant(1e6);
        plan.supports = {feet};
        const Stability on_feet = stability_of(build_cabinet(plan));
        CHECK(on_feet.on_feet);
        CHECK_THAT(std::tan(on_feet.tipping_angle), WithinRel(0.08 / 0.19, 1e-9));
    }
}
