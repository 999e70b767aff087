// Parts as sawn, parts on boards, litres line by line, balance.

#include "mesh/cabinet/volume_lines.h"
#include "mesh/sawing/blanks.h"
#include "mesh/sawing/halving.h"
#include "mesh/sawing/sheet_layout.h"
#include "mesh/sawing/stability.h"
#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <numbers>
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

namespace {

BracePlan crossing(const std::string& name, BracePlan::Plane plane, double at_mm)
{
    BracePlan brace;
    brace.name = name;
    brace.plane = plane;
    brace.at = at_mm * mm;
    brace.layup = board_of(18);
    return brace;
}

OpeningPlan window_of(const std::string& brace, double width_mm, double height_mm)
{
    OpeningPlan window;
    window.name = brace + " window";
    window.board = brace;
    window.shape = OpeningPlan::Shape::Rectangle;
    window.width = width_mm * mm;
    window.height = height_mm * mm;
    return window;
}

const SawnPart& named(const std::vector<SawnPart>& parts, const std::string& name)
{
    return *std::find_if(parts.begin(), parts.end(), [&](const SawnPart& p) { return p.name == name; });
}

} // namespace

TEST_CASE("plates that cross slide into each other", "[workshop][slots]")
{
    // Exact, by hand: 240 × 380 × 300 outside, 18 mm: the shelf is 204 × 264 mm, the upright 344 high and 264 deep;
    // they cross along the depth, each is cut half way, 132 mm.
    CabinetPlan plan = box_plan();
    plan.braces = {crossing("shelf", BracePlan::Plane::Horizontal, 190),
                   crossing("upright", BracePlan::Plane::FrontToBack, 100)};
    const auto parts_of = [](const CabinetPlan& p) {
        const Cabinet cabinet = build_cabinet(p);
        return sawn_parts(p, cabinet, bookkeeping(cabinet));
    };
    SECTION("square, in whole wood")
    {
        const std::vector<SawnPart> parts = parts_of(plan);
        for (const auto& [name, area] : {std::pair("shelf", 204.0 * 264), std::pair("upright", 344.0 * 264)}) {
            const SawnPart& p = named(parts, name);
            REQUIRE(p.slots.size() == 1);
            CHECK_THAT(p.slots[0].width / mm, WithinAbs(18, 1e-9));
            CHECK_THAT(p.slots[0].length() / mm, WithinAbs(132, 1e-9));
            CHECK_FALSE(p.slots[0].is_through);
            CHECK(is_simple(p.outline));
            CHECK_THAT(signed_area(p.outline) / (mm * mm), WithinAbs(area - 18 * 132, 1e-6));
        }
        CHECK(named(parts, "shelf").notes.front() ==
              "slot for upright: 18 wide, 132 long from the edge, its middle at x 82");
    }
    SECTION("where the middle lies in a window, the lands on one side are cut through")
    {
        plan.openings = {window_of("shelf", 120, 180), window_of("upright", 180, 260)};
        const std::vector<SawnPart> parts = parts_of(plan);
        for (const char* name : {"shelf", "upright"}) {
            const SawnPart& p = named(parts, name);
            REQUIRE(p.slots.size() == 1);
            CHECK(p.slots[0].is_through);
            CHECK(p.outline.size() == 4); // the slot is drawn by itself
        }
    }
    SECTION("no slot where one passes through the other's window")
    {
        plan.braces[1].z_from = 150 * mm;
        plan.braces[1].z_to = 240 * mm;
        plan.braces[1].y_from = 100 * mm;
        plan.braces[1].y_to = 200 * mm;
        plan.braces.push_back(crossing("post", BracePlan::Plane::SideToSide, 150));
        plan.openings = {window_of("shelf", 160, 200)};
        CHECK(named(parts_of(plan), "upright").slots.size() == 1); // with the post alone
    }
}

TEST_CASE("slots of plates at any angle meet their partners", "[workshop][slots]")
{
    // Reference: what both plates must have for one to slide into the other, checked in space: blind ends at one place,
    // on one line, opening to opposite sides; together they are as long as from one plate's edge to the other's; a
    // point of the partner's solid over the slot's length lies within the slot on both faces.
    std::mt19937 random(11);
    std::uniform_real_distribution<double> tilt(-0.5, 0.5), at(120, 180), thick(9, 25);
    for (int round = 0; round < 20; ++round) {
        CabinetPlan plan = box_plan();
        BracePlan slanted = crossing("slanted", BracePlan::Plane::Slanted, 0);
        slanted.point = Vector3d(0.12, 0.15, at(random) * mm);
        slanted.normal = Vector3d(tilt(random), 0, 1).normalized(); // crosses the upright along the depth
        slanted.layup = board_of(thick(random));
        plan.braces = {slanted, crossing("upright", BracePlan::Plane::FrontToBack, at(random))};
        plan.braces[1].layup = board_of(thick(random));
        const Cabinet cabinet = build_cabinet(plan);
        const std::vector<HalvingSlot> slots = halving_slots(cabinet);
        REQUIRE(slots.size() == 2);
        const auto in_space = [&](const HalvingSlot& s, const Vector2d& p) {
            return cabinet.board(s.board).frame.to_space(p);
        };
        // Tolerance: round-off.
        CHECK((in_space(slots[0], slots[0].blind) - in_space(slots[1], slots[1].blind)).norm() < 1e-9);
        const Vector3d first = in_space(slots[0], slots[0].open) - in_space(slots[0], slots[0].blind);
        const Vector3d second = in_space(slots[1], slots[1].open) - in_space(slots[1], slots[1].blind);
        CHECK_THAT(first.normalized().dot(second.normalized()), WithinAbs(-1, 1e-9));
        CHECK_THAT((first.norm() + second.norm()) / mm, WithinAbs(264, 1e-6));
        for (const HalvingSlot& slot : slots) {
            const Board &own = cabinet.board(slot.board), &other = cabinet.board(slot.partner);
            const Vector2d along = (slot.open - slot.blind).normalized(), across(-along.y(), along.x());
            double widest = 0; // of the partner's solid on the faces of this plate
            for (const double face : {-0.5, 0.5})
                for (const double side : {-0.5, 0.5}) {
                    // own.n·x = face·t and other.n·x = side·t', from the middle line
                    const Vector3d u = across.x() * own.frame.e1 + across.y() * own.frame.e2;
                    const double x =
                        (side * other.thickness() - face * own.thickness() * own.frame.n.dot(other.frame.n)) /
                        u.dot(other.frame.n);
                    widest = std::max(widest, 2 * std::abs(x));
                }
            CHECK_THAT(slot.width, WithinRel(widest, 1e-9));
        }
    }
}

TEST_CASE("edges at a leaning front are sawn at its angle", "[workshop][bevel]")
{
    // Exact, by hand: a front leaning by 10° meets top and bottom at 80° and 100°: their edges there, and the front's
    // own, are tilted by 10°. Seen from the side, the front's outer and inner face are as long (two parallel cuts), the
    // bottom is longer on its outer face by 18 tan 10° = 3.174 mm, the top on its inner one.
    CabinetPlan plan = box_plan();
    plan.baffle_slope = 10 * std::numbers::pi / 180;
    const Cabinet cabinet = build_cabinet(plan);
    const std::vector<SawnPart> parts = sawn_parts(plan, cabinet, bookkeeping(cabinet));
    for (const auto& [name, is_long_outside] : {std::pair("top", false), std::pair("bottom", true)}) {
        CAPTURE(name);
        const SawnPart& p = named(parts, name);
        REQUIRE(p.bevels.edges.size() == 1);
        CHECK(p.bevels.edges[0].at == "front");
        CHECK_THAT(p.bevels.edges[0].angle, WithinAbs(plan.baffle_slope, 1e-9));
        CHECK(p.bevels.edges[0].is_long_on_plus == is_long_outside);
        const Vector2d difference = p.bevels.faces[1] - p.bevels.faces[0];
        const double longer = difference.sum(); // alike the other way
        CHECK_THAT(std::abs(longer) / mm, WithinAbs(18 * std::tan(plan.baffle_slope), 1e-6));
        CHECK((longer > 0) == is_long_outside);
        CHECK(p.notes.front() == std::string("edge at front: saw tilted by 10°, longer on the ") +
                                     (is_long_outside ? "outer" : "inner") + " face");
    }
    CHECK(named(parts, "left").bevels.edges.empty());
    CHECK(named(parts, "front").bevels.edges.size() == 2);
}

TEST_CASE("a leaning front without feet stands on its bottom", "[workshop][stability]")
{
    // Exact, by hand: a front leaning by 10° about its lower outer edge does not move that edge: to the left and right
    // it tips as an upright box would, over half its width, about a centre of mass that is its own.
    CabinetPlan plan = box_plan();
    plan.baffle_slope = 10 * std::numbers::pi / 180;
    const Stability leaning = stability_of(build_cabinet(plan));
    CHECK(leaning.tipping_angle > 0);
    CHECK_FALSE(leaning.on_feet);
    CHECK_THAT(std::tan(leaning.tipping_angle), WithinRel(0.12 / leaning.centre.z(), 1e-6));
}

TEST_CASE("glued up boards are bought as their sheets", "[workshop][blanks]")
{
    // Exact, by hand: two sheets of a 380 × 240 front, 10 mm over both ways, on boards of 400 × 300 mm at 20 each: one
    // board a sheet; by area 20 × 390 × 250 / (400 × 300) = 16.25 each.
    CabinetPlan plan = box_plan();
    plan.walls[0].layup.sheets = {{"board", 9 * mm}, {"board", 9 * mm}};
    const Cabinet cabinet = build_cabinet(plan);
    const std::vector<SawnPart> parts = sawn_parts(plan, cabinet, bookkeeping(cabinet));
    const std::vector<SawnPart> blanks = blanks_of(parts);
    CHECK(blanks.size() == parts.size() + 1);
    CHECK(blanks[0].name == "front, sheet 1 of 2");
    CHECK(blanks[1].material == "board");
    CHECK_THAT(blanks[1].length / mm, WithinAbs(390, 1e-9));
    CHECK_THAT(blanks[1].width / mm, WithinAbs(250, 1e-9));
    CHECK_THAT(blanks[1].thickness / mm, WithinAbs(9, 1e-9));
    CHECK(blanks[2].name == parts[1].name);
    const std::vector<SawnPart> front(blanks.begin(), blanks.begin() + 2);
    WorkshopPlan boards = shop(400, 300, 3, 5);
    CHECK(lay_out(front, boards).sheets.size() == 2);
    CHECK_THAT(price_by_area(front, boards).value(), WithinRel(2 * 16.25, 1e-12));
}
