#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/names.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"

using namespace build_fixture;

// Reference in this file: by hand. Tolerance: round-off of coordinates unless said otherwise.

TEST_CASE("places of holes on walls", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.outline[2].x() = 200 * mm; // a slanted right side
    plan.baffle_slope = 0.2;
    OpeningPlan side = hole("side", "right", 60), along = hole("along", "right", 40), lid = hole("lid", "bottom", 50);
    side.y = 150 * mm;
    side.z = 200 * mm;
    along.along = 220 * mm;
    along.z = 100 * mm;
    lid.x = 100 * mm;
    lid.y = 180 * mm;
    plan.openings = {hole_xz("front", "front", 100, 120, 150), side, along, lid};
    const Cabinet cabinet = build_cabinet(plan);
    const auto in_space = [&](const char* name) {
        const Board& b = board(cabinet, name);
        return b.frame.to_space(b.openings[0].centre);
    };
    // Front: 150 mm up the leaning face, then half a thickness in along the normal.
    const Vector3d front = in_space("front");
    CHECK_THAT(front.x(), WithinAbs(0.12, round_off));
    CHECK_THAT(front.y(), WithinAbs(0.15 * std::sin(0.2) + 0.009 * std::cos(0.2), round_off));
    CHECK_THAT(front.z(), WithinAbs(0.15 * std::cos(0.2) - 0.009 * std::sin(0.2), round_off));
    // Right: the outer face at y = 150 stands at x = 220; inwards along (-300, -40)/√(300² + 40²).
    const double norm = std::hypot(300, 40);
    const Vector3d right = in_space("right");
    CHECK_THAT(right.x(), WithinAbs(0.22 - 0.009 * 300 / norm, round_off));
    CHECK_THAT(right.y(), WithinAbs(0.15 - 0.009 * 40 / norm, round_off));
    CHECK_THAT(right.z(), WithinAbs(0.2, round_off));
    CHECK_THAT(board(cabinet, "right").openings[1].centre.x(), WithinAbs(0.22, round_off));
    const Vector3d bottom = in_space("bottom");
    CHECK_THAT((bottom - Vector3d(0.1, 0.18, 0.009)).norm(), WithinAbs(0, round_off));
}

TEST_CASE("places of windows in plates", "[mesh][build]")
{
    CabinetPlan plan = box_plan();
    plan.braces = {brace("upright", BracePlan::Plane::FrontToBack, 100),
                   brace("slanted", BracePlan::Plane::Slanted, 0)};
    plan.braces[1].point = {0.12, 0.15, 0.2};
    plan.braces[1].normal = {0, -0.3, 1};
    plan.braces[1].ends_at = {"upright"};
    OpeningPlan a = hole("a", "upright", 60), b = hole("b", "slanted", 40);
    a.y = 100 * mm;
    a.z = 300 * mm;
    b.x = 10 * mm;
    b.y = -20 * mm;
    plan.openings = {a, b};
    const Cabinet cabinet = build_cabinet(plan);
    const Board& upright = board(cabinet, "upright");
    CHECK_THAT((upright.frame.to_space(upright.openings[0].centre) - Vector3d(0.1, 0.1, 0.3)).norm(),
               WithinAbs(0, round_off));
    const Board& slanted = board(cabinet, "slanted");
    // The plate runs from x = 100 to 231 on mid-planes, so its middle is at 165.5.
    CHECK_THAT(slanted.frame.to_space(slanted.openings[0].centre).x(), WithinAbs(0.1755, round_off));
    CHECK_THAT(slanted.openings[0].centre.y(), WithinAbs(-0.02, round_off));
}

TEST_CASE("areas and distances of hole shapes", "[mesh][opening]")
{
    using Shape = OpeningPlan::Shape;
    const auto make = [](Shape shape, double w, double h, double r, Vector2d centre, double rotation) {
        Opening o;
        o.shape = shape;
        o.width = w;
        o.height = h;
        o.corner_radius = r;
        o.centre = centre;
        o.rotation = rotation;
        return o;
    };
    const double pi = std::numbers::pi;
    const Opening circle = make(Shape::Circle, 2, 2, 0, {0, 0}, 0);
    const Opening slot = make(Shape::Slot, 4, 2, 0, {5, 0}, 0);
    const Opening rounded = make(Shape::RoundedRectangle, 4, 6, 0.5, {0, 8}, pi / 2);
    const Opening square = make(Shape::Rectangle, 2, 2, 0, {0, -4}, pi / 4);
    CHECK_THAT(opening_area(circle), WithinRel(pi, 1e-14));
    CHECK_THAT(opening_area(slot), WithinRel(pi + 4, 1e-14));
    CHECK_THAT(opening_area(rounded), WithinRel(24 - (4 - pi) * 0.25, 1e-14));
    CHECK_THAT(opening_area(square), WithinRel(4, 1e-14));
    CHECK_THAT(land_between(circle, slot), WithinAbs(2, 1e-14));    // 5 - 2 - 1
    CHECK_THAT(land_between(circle, rounded), WithinAbs(5, 1e-14)); // turned: 4 high, so 8 - 2 - 1
    CHECK_THAT(land_between(circle, square), WithinAbs(3 - std::sqrt(2.0), 1e-14));
    CHECK(land_between(make(Shape::Rectangle, 20, 20, 0, {0, 0}, 0), circle) < 0); // one inside the other
    const Polygon frame{{-3, -3}, {3, -3}, {3, 3}, {-3, 3}};
    CHECK_THAT(land_inside(frame, circle), WithinAbs(2, 1e-14));
    CHECK(land_inside(frame, slot) < 0);
    CHECK_THAT(land_to_segment(circle, {-5, 3}, {5, 3}), WithinAbs(2, 1e-14));
    // The polygons converge to the areas. Tolerance: sagitta of 400 chords per circle, 2π²/(3·400²) = 4e-5 relative.
    for (const Opening& o : {circle, slot, rounded, square})
        CHECK_THAT(signed_area(opening_outline(o, 400)), WithinRel(opening_area(o), 1e-4));
}

TEST_CASE("clipping a polygon that is not convex", "[mesh][polygon]")
{
    // A U, open at the top: 3 × 2 with a 1 × 1 notch.
    const EdgedPolygon u{{{0, 0}, {3, 0}, {3, 2}, {2, 2}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}, {0, 1, 2, 3, 4, 5, 6, 7}};
    const auto total = [](const std::vector<EdgedPolygon>& parts) {
        double sum = 0;
        for (const EdgedPolygon& part : parts) sum += signed_area(part.corners);
        return sum;
    };
    const std::vector<EdgedPolygon> arms = clip(u, {0, -1}, -1.5, 9); // y ≥ 1.5
    CHECK(arms.size() == 2);
    CHECK_THAT(total(arms), WithinAbs(1, 1e-14));
    const std::vector<EdgedPolygon> base = clip(u, {0, 1}, 1.5, 9); // y ≤ 1.5
    REQUIRE(base.size() == 1);
    CHECK_THAT(total(base), WithinAbs(4, 1e-14));
    CHECK(std::count(base[0].edge_on.begin(), base[0].edge_on.end(), 9) == 2);
    // Along the notch's floor: the arms only touch the line there.
    CHECK_THAT(total(clip(u, {0, -1}, -1, 9)), WithinAbs(2, 1e-14));
    CHECK_THAT(total(clip(u, {0, 1}, 1, 9)), WithinAbs(3, 1e-14));
    CHECK(clip(u, {1, 0}, -1, 9).empty());
    CHECK(clip(u, {1, 0}, 3, 9)[0].corners == u.corners);
    CHECK(is_simple(u.corners));
    CHECK_FALSE(is_simple({{0, 0}, {1, 1}, {1, 0}, {0, 1}}));
    CHECK(contains(u.corners, interior_point(u.corners)));
    CHECK(line_inside(u.corners, {0, 1.5}, {1, 0}, false).size() == 2);
    CHECK(line_inside(u.corners, {0, 2}, {1, 0}, false).empty());
    CHECK(line_inside(u.corners, {0, 2}, {1, 0}, true).size() == 2);
    const Polygon plug{{1, 1}, {2, 1}, {2, 2}, {1, 2}};
    CHECK_FALSE(overlap(u.corners, plug));
    CHECK(overlap(u.corners, {{0.5, 1.2}, {1.5, 1.2}, {1.5, 1.8}, {0.5, 1.8}}));
    CHECK(overlap(u.corners, {{0.2, 0.2}, {0.4, 0.2}, {0.4, 0.4}}));
    // Equal heights: the sides of both lie in one line.
    CHECK(overlap({{0, 0}, {1, 0}, {1, 1}, {0, 1}}, {{0.999, 0}, {2, 0}, {2, 1}, {0.999, 1}}));
    CHECK_FALSE(overlap({{0, 0}, {1, 0}, {1, 1}, {0, 1}}, {{1, 0}, {2, 0}, {2, 1}, {1, 1}}));
}

TEST_CASE("nearest names", "[mesh][names]")
{
    // Reference: edits counted by hand.
    CHECK(edit_distance("front", "front") == 0);
    CHECK(edit_distance("fornt", "front") == 1); // a swap
    CHECK(edit_distance("Front", "frnt") == 1);
    CHECK(edit_distance("", "top") == 3);
    const std::vector<std::string> known{"front", "back", "left", "right", "top", "bottom"};
    CHECK(nearest_name("fornt", known) == "front");
    CHECK(nearest_name("botom", known) == "bottom");
    CHECK_FALSE(nearest_name("chimney", known));
    CHECK(name_hint("rigt", known) == "did you mean 'right'?");
}
