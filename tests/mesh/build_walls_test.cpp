#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/build_hull.h"

#include <Eigen/Geometry>

#include <random>

using namespace build_fixture;

namespace {

// What every closed set of walls must satisfy, whatever its shape.
void check_laws(const Cabinet& cabinet)
{
    for (const Board& b : cabinet.boards) {
        CAPTURE(b.name);
        // Reference: a right-handed orthonormal frame. Tolerance: round-off of unit vectors.
        CHECK_THAT((b.frame.e1.cross(b.frame.e2) - b.frame.n).norm(), WithinAbs(0, 1e-14));
        CHECK_THAT(b.frame.e1.dot(b.frame.e2), WithinAbs(0, 1e-14));
        CHECK(area(b.outline) > 0);
        CHECK(area(b.sawn) > 0);
        REQUIRE(b.edge_on.size() == b.outline.size());
        for (std::size_t i = 0; i < b.outline.size(); ++i) {
            if (!b.edge_on[i]) continue;
            const Board& other = cabinet.board(*b.edge_on[i]);
            // Reference: by definition both ends lie on the neighbour's mid-plane.
            const Vector3d a = b.frame.to_space(b.outline[i]);
            const Vector3d c = b.frame.to_space(b.outline[(i + 1) % b.outline.size()]);
            CHECK_THAT(other.frame.height_of(a), WithinAbs(0, round_off));
            CHECK_THAT(other.frame.height_of(c), WithinAbs(0, round_off));
        }
    }
}

// Volume of the boards from their masses at density 1000 kg/m³.
double wood_volume(const Bookkeeping& book)
{
    return book.board_mass / 1000;
}

} // namespace

TEST_CASE("a box: frames, outlines, laps and strips", "[mesh][build]")
{
    const Cabinet cabinet = build_cabinet(box_plan({.front = 30, .back = 12}));
    check_laws(cabinet);
    REQUIRE(cabinet.boards.size() == 6);
    const char* names[] = {"front", "right", "back", "left", "top", "bottom"};
    const Vector3d normals[] = {-Vector3d::UnitY(), Vector3d::UnitX(), Vector3d::UnitY(),
                                -Vector3d::UnitX(), Vector3d::UnitZ(), -Vector3d::UnitZ()};
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(cabinet.boards[i].name == names[i]);
        CHECK((cabinet.boards[i].frame.n - normals[i]).norm() < 1e-15);
    }
    // Reference: by hand. Front mid-surface: 240 - 18 wide, 380 - 18 high, at y = 15; sawn full size;
    //   sides 380 high and 300 - 30 - 12 long; lids 240 - 36 by 300 - 42. Tolerance: round-off.
    const Board& front = board(cabinet, "front");
    CHECK_THAT(area(front.outline), WithinAbs(0.222 * 0.362, round_off));
    CHECK_THAT(front.frame.origin.y(), WithinAbs(0.015, round_off));
    CHECK_THAT(area(front.sawn), WithinAbs(0.24 * 0.38, round_off));
    CHECK_THAT(area(board(cabinet, "left").sawn), WithinAbs(0.258 * 0.38, round_off));
    CHECK_THAT(area(board(cabinet, "top").sawn), WithinAbs(0.204 * 0.258, round_off));
    CHECK_THAT(area(board(cabinet, "bottom").outline), WithinAbs(0.222 * 0.279, round_off));

    REQUIRE(cabinet.junctions.size() == 12);
    const std::vector<Junction> edge = joints(cabinet, "right", "front");
    REQUIRE(edge.size() == 1);
    CHECK(edge[0].kind == Junction::Kind::Corner);
    CHECK(edge[0].passing == 0);
    CHECK_THAT(edge[0].angle, WithinAbs(std::numbers::pi / 2, 1e-14));
    // Reference: at a square corner each board reaches half the other's thickness into the block.
    CHECK_THAT(edge[0].overlap_passing, WithinAbs(9 * mm, round_off));
    CHECK_THAT(edge[0].overlap_ending, WithinAbs(15 * mm, round_off));
    CHECK_THAT(length(edge[0]), WithinAbs(0.362, round_off));
}

TEST_CASE("laps set by the user change the cut list, not the wood", "[mesh][build]")
{
    CabinetPlan plan = box_plan({.front = 30, .back = 12});
    plan.laps = {{"left", "front", at_line(5)},
                 {"right", "front", at_line(6)},
                 {"top", "front", at_line(7)},
                 {"bottom", "front", at_line(8)}};
    const Cabinet cabinet = build_cabinet(plan);
    // Reference: an inset front, 240 - 36 by 380 - 36. The wood is outer less inner box either way.
    // Tolerance: round-off.
    CHECK_THAT(area(board(cabinet, "front").sawn), WithinAbs(0.204 * 0.344, round_off));
    CHECK_THAT(area(board(cabinet, "left").sawn), WithinAbs(0.288 * 0.38, round_off));
    CHECK_THAT(bookkeeping(cabinet).board_mass,
               WithinRel(bookkeeping(build_cabinet(box_plan({.front = 30, .back = 12}))).board_mass, 1e-13));
}

TEST_CASE("wood of a tapered box and an L is outer less inner volume", "[mesh][build]")
{
    SECTION("taper")
    {
        CabinetPlan plan = box_plan({}, 1000);
        plan.outline[2] = {0.2, 0.3};
        plan.outline[3] = {0.04, 0.3};
        const Cabinet cabinet = build_cabinet(plan);
        check_laws(cabinet);
        const Bookkeeping book = bookkeeping(cabinet);
        // Reference: trapezoids. Side slope 40/300, so a side's thickness measured along x is
        //   18·√(1 + (40/300)²); the inner trapezoid runs from y = 18 to 282 mm.
        // Tolerance: round-off of sums of a few volumes.
        const double along_x = 18 * std::sqrt(1 + std::pow(40.0 / 300, 2));
        const auto width_at = [](double y) { return 240 - 80 * y / 300; };
        const double outer = (240 + 160) / 2.0 * 300 * 380;
        const double inner = ((width_at(18) + width_at(282)) / 2 - 2 * along_x) * 264 * 344;
        CHECK_THAT(wood_volume(book), WithinRel((outer - inner) * 1e-9, 1e-12));
        CHECK_THAT(book.gross_volume_m3, WithinRel(inner * 1e-9, 1e-12));
        // Reference: each side turns in by atan(40/300), so the front's inner angles are that much less than 90°.
        const double theta = std::numbers::pi / 2 - std::atan(40.0 / 300);
        const Junction j = joints(cabinet, "front", "right")[0];
        CHECK_THAT(j.angle, WithinAbs(theta, 1e-12));
        CHECK_THAT(j.overlap_passing, WithinAbs(9 * mm * (1 + std::cos(theta)) / std::sin(theta), round_off));
    }
    SECTION("L")
    {
        CabinetPlan plan = l_plan();
        plan.materials[0].rho.value = 1000;
        const Cabinet cabinet = build_cabinet(plan);
        check_laws(cabinet);
        const Bookkeeping book = bookkeeping(cabinet);
        // Reference: outer L 300² - 150², inner L (300 - 36)² - 150² (the notch keeps its size as both of
        //   its walls and both outer walls move by 18 mm); heights 400 and 364. Tolerance: round-off.
        const double outer = (300.0 * 300 - 150.0 * 150) * 400, inner = (264.0 * 264 - 150.0 * 150) * 364;
        CHECK_THAT(wood_volume(book), WithinRel((outer - inner) * 1e-9, 1e-12));
        // Reference: at the inward corner w2 (earlier) covers w3; each keeps the angle of a square joint.
        const Junction j = joints(cabinet, "w2", "w3")[0];
        CHECK(j.passing == 2);
        CHECK_THAT(j.angle, WithinAbs(std::numbers::pi / 2, 1e-12));
        CHECK_THAT(j.overlap_ending, WithinAbs(9 * mm, round_off));
    }
}

TEST_CASE("wood of a box with a leaning front is outer less inner volume", "[mesh][build]")
{
    for (const double slope : {0.15, -0.1}) {
        CabinetPlan plan = box_plan({}, 1000);
        plan.baffle_slope = slope;
        const Cabinet cabinet = build_cabinet(plan);
        check_laws(cabinet);
        const Bookkeeping book = bookkeeping(cabinet);
        // Reference: section in the y-z plane. Outer: the front stands at y = z·tan α; inner:
        //   y = z·tan α + 18/cos α from z = 18 to 362. Tolerance: round-off.
        const double tan = std::tan(slope);
        const double outer = 240 * (300 * 380.0 - tan * 380 * 380 / 2);
        const double inner = 204 * ((282 - 18 / std::cos(slope)) * 344 - tan * (362 * 362 - 18 * 18) / 2);
        CHECK_THAT(wood_volume(book), WithinRel((outer - inner) * 1e-9, 1e-12));
        CHECK_THAT(book.gross_volume_m3, WithinRel(inner * 1e-9, 1e-12));
        // Reference: the front covers all, 380/cos α long on its outer face, plus t·tan|α| where the
        //   inner face reaches further at one end.
        const Board& front = board(cabinet, "front");
        CHECK_THAT(area(front.sawn), WithinAbs(0.24 * (0.38 / std::cos(slope) + 0.018 * std::abs(tan)), 1e-9));
        CHECK_THAT(front.frame.n.z(), WithinAbs(std::sin(slope), 1e-14));
    }
}

TEST_CASE("walls of a many-sided outline are mitred", "[mesh][build]")
{
    CabinetPlan plan = box_plan({}, 1000);
    plan.outline.clear();
    plan.walls.clear();
    constexpr int n = 16;
    const double turn = 2 * std::numbers::pi / n;
    for (int k = 0; k < n; ++k) {
        plan.outline.emplace_back(0.2 * std::cos(k * turn), 0.2 * std::sin(k * turn));
        WallPlan wall;
        wall.name = std::string("w").append(std::to_string(k));
        wall.layup = board_of(18);
        plan.walls.push_back(wall);
    }
    const Cabinet cabinet = build_cabinet(plan);
    check_laws(cabinet);
    const Bookkeeping book = bookkeeping(cabinet);
    // Reference: a trapezoid 380 mm high: side 2·R·sin(π/n) outside, shorter by 2·t·tan(π/n) inside, t = 18.
    // Tolerance: round-off of a few products.
    const double outside = 2 * 0.2 * std::sin(turn / 2), mean = outside - 0.018 * std::tan(turn / 2);
    for (int k = 0; k < n; ++k) {
        const Board& wall = cabinet.boards[static_cast<std::size_t>(k)];
        CHECK_THAT(part_mass(book, wall.name.c_str()), WithinRel(mean * 0.018 * 0.38 * 1000, 1e-12));
        CHECK_THAT(area(wall.sawn), WithinRel(outside * 0.38, 1e-12));
    }
}

TEST_CASE("random prisms: the boards' wood is outer less inner hull, braces lie inside", "[mesh][build]")
{
    // Reference: the hulls' volumes, found without any lap. Tolerance: round-off of a dozen volumes.
    std::mt19937 generator(20240117);
    const auto draw = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(generator()) / static_cast<double>(std::mt19937::max());
    };
    int n_built = 0;
    for (int trial = 0; trial < 300; ++trial) {
        CabinetPlan plan = box_plan({}, 1000);
        plan.outline.clear();
        plan.walls.clear();
        const int n = 3 + trial % 6;
        for (int k = 0; k < n; ++k) {
            const double angle = 2 * std::numbers::pi * (k + draw(-0.3, 0.3)) / n, radius = draw(0.2, 0.35);
            plan.outline.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
            WallPlan wall;
            wall.name = std::string("w").append(std::to_string(k));
            wall.layup = board_of(draw(10, 30));
            plan.walls.push_back(wall);
        }
        plan.baffle_slope = draw(-0.3, 0.3);
        if (trial % 3 == 0) plan.laps = {{"w1", "w0", {}}};
        BracePlan plate = brace("plate", BracePlan::Plane::Slanted, 0);
        plate.point = {draw(-0.05, 0.05), draw(-0.05, 0.05), 0.2};
        plate.normal = {draw(-1, 1), draw(-1, 1), draw(-1, 1)};
        plan.braces = {plate};
        Cabinet cabinet;
        try {
            cabinet = build_cabinet(plan);
        } catch (const InputError&) {
            continue; // an outline too tight for its boards
        }
        ++n_built;
        CAPTURE(trial);
        check_laws(cabinet);
        const Bookkeeping book = bookkeeping(cabinet);
        const double plate_mass = part_mass(book, "plate");
        const double walls = hull_volume(make_hull(cabinet.boards, Hull::Surface::Outer)) -
                             hull_volume(make_hull(cabinet.boards, Hull::Surface::Inner));
        CHECK_THAT(wood_volume(book), WithinRel(walls + plate_mass / 1000, 1e-12));
        CHECK_THAT(book.net_volume_m3, WithinRel(book.gross_volume_m3 - plate_mass / 1000, 1e-12));
        // A plate's clear volume cannot exceed its mid-surface's box through its thickness, nor vanish.
        CHECK(plate_mass > 0);
        const Board& b = board(cabinet, "plate");
        CHECK(plate_mass / 1000 < b.thickness() * area(b.outline));
    }
    CHECK(n_built > 100);
}

TEST_CASE("grain along the longer side", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.walls[0].grain = 0.3;
    plan.walls[1].grain_rule = GrainRule::LongerEdge;
    plan.top.grain_rule = GrainRule::LongerEdge;
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 200)};
    plan.braces[0].grain_rule = GrainRule::LongerEdge;
    const Cabinet cabinet = build_cabinet(plan);
    // Reference: box 240 × 380 × 300: a side is longer upwards (e2), lids and shelf front to back (e2).
    // Tolerance: exact assignments.
    CHECK(board(cabinet, "front").grain == 0.3);
    CHECK(board(cabinet, "right").grain == std::numbers::pi / 2);
    CHECK(board(cabinet, "top").grain == std::numbers::pi / 2);
    CHECK(board(cabinet, "shelf").grain == std::numbers::pi / 2);
    CHECK(board(cabinet, "back").grain == 0);
}
