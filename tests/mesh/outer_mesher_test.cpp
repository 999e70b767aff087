// The outside of a cabinet: closed, of the right size, its cones and mouths of the right area, and economical.
#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/error.h"
#include "mesh/gmsh/outer_mesher.h"
#include "solver/radiation/surface.h"
#include "tests/mesh/mesher_random.h"

#include <catch2/catch.hpp>

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using mesh::mesh_outer;
using mesh::OuterMeshOptions;
using On = OuterMesh::Face::On;
using Kind = InsertPlan::Kind;

namespace {

constexpr double pi = std::numbers::pi;
// Reference, where a case names no other: areas by hand from the drawing.
// Tolerance: flat facets fill plane faces, and polygons are drawn to the area: nothing but round-off of some hundred
// sums.
constexpr double round_off = 1e-11;

double area_where(const OuterMesh& mesh, const std::function<bool(const OuterMesh::Face&)>& is_meant)
{
    double sum = 0;
    for (const OuterMesh::Face& face : mesh.faces)
        if (is_meant(face)) sum += area_vector(mesh, face).norm();
    return sum;
}

double area_on(const OuterMesh& mesh, On on, int board, int opening = -1)
{
    return area_where(mesh, [=](const auto& f) { return f.on == on && f.board == board && f.opening == opening; });
}

double board_area(const OuterMesh& mesh, int board)
{
    return area_where(mesh, [=](const auto& f) { return f.board == board; });
}

/// Enclosed by Gauss's theorem [m³].
double volume(const OuterMesh& mesh)
{
    double sum = 0;
    for (const OuterMesh::Face& face : mesh.faces)
        sum += mesh.vertices[static_cast<std::size_t>(face.corner[0])].dot(area_vector(mesh, face)) / 3;
    return sum;
}

double longest_side(const OuterMesh& mesh, const OuterMesh::Face& face)
{
    const std::size_t n = face.corner[3] < 0 ? 3 : 4;
    double longest = 0;
    for (std::size_t c = 0; c < n; ++c)
        longest = std::max(longest, (mesh.vertices[static_cast<std::size_t>(face.corner[(c + 1) % n])] -
                                     mesh.vertices[static_cast<std::size_t>(face.corner[c])])
                                        .norm());
    return longest;
}

/// 1 for a square and an equilateral triangle; a rectangle's is the ratio of its sides.
double aspect(const OuterMesh& mesh, const OuterMesh::Face& face)
{
    const double L = longest_side(mesh, face), A = area_vector(mesh, face).norm();
    return (face.corner[3] < 0 ? std::sqrt(3.0) / 4 : 1.0) * L * L / A;
}

double worst_aspect(const OuterMesh& mesh)
{
    double worst = 0;
    for (const OuterMesh::Face& face : mesh.faces) worst = std::max(worst, aspect(mesh, face));
    return worst;
}

/// The boundary elements take every facet, the surface is closed, and each facet lies in its board's outer face.
void check_sound(const Cabinet& cabinet, const OuterMesh& mesh)
{
    std::vector<solver::PanelCorners> corners;
    double off_plane = 0, off_normal = 0;
    for (const OuterMesh::Face& face : mesh.faces) {
        corners.push_back(face.corner);
        const Board& board = cabinet.board(face.board);
        for (const int v : face.corner) {
            if (v < 0) continue;
            const double height = board.frame.height_of(mesh.vertices[static_cast<std::size_t>(v)]);
            off_plane = std::max(off_plane, std::abs(height - board.thickness() / 2));
        }
        off_normal = std::max(off_normal, (area_vector(mesh, face).normalized() - board.frame.n).norm());
        CHECK((face.on == On::Board) == (face.opening < 0));
    }
    CHECK(off_plane < 1e-12); // round-off of 1 m
    CHECK(off_normal < 1e-9); // the same over the smallest facets, some mm
    const solver::PanelSurface surface = solver::make_panel_surface(mesh.vertices, corners);
    CHECK(solver::closure_error(surface, {}) < 1e-12); // what it gives for a closed surface
    CHECK_THAT(volume(mesh), WithinRel(hull_volume(make_hull(cabinet.boards, Hull::Surface::Outer)), round_off));
}

OuterMesh sound_outside(const Cabinet& cabinet, const OuterMeshOptions& options)
{
    OuterMesh mesh = mesh_outer(cabinet, options);
    check_sound(cabinet, mesh);
    return mesh;
}

OpeningPlan with(OpeningPlan opening, Kind kind, double Sd = 0)
{
    opening.insert.kind = kind;
    if (Sd == 0) return opening;
    opening.insert.small_signal.emplace();
    opening.insert.small_signal->Sd = Sd;
    return opening;
}

OpeningPlan shaped(OpeningPlan::Shape shape, double width, double height, double corner_radius = 0)
{
    OpeningPlan opening = hole("front", 0.15, 0.2, width);
    opening.shape = shape;
    opening.height = height;
    opening.corner_radius = corner_radius;
    return opening;
}

/// Woofer and tweeter on the front, port and plate on the back.
CabinetPlan two_way()
{
    CabinetPlan plan = box(0.22, 0.30, 0.38, 0.018);
    OpeningPlan plate = with(hole("back", 0.11, 0.1, 0.07), Kind::Plate);
    plate.shape = OpeningPlan::Shape::Rectangle;
    plate.height = 0.06;
    plan.openings = {with(hole("front", 0.11, 0.13, 0.145), Kind::Driver, 0.0133),
                     with(hole("front", 0.11, 0.29, 0.074), Kind::Driver, 0.0027),
                     with(hole("back", 0.11, 0.28, 0.06), Kind::Port), plate};
    return plan;
}

} // namespace

TEST_CASE("a plain box is covered by squares, true to its outer size", "[mesh][outer]")
{
    CabinetPlan plan = box(0.24, 0.30, 0.36, 0.018);
    plan.walls[0].layup = board_of(0.030);
    plan.walls[2].layup = board_of(0.012);
    const Cabinet cabinet = build_cabinet(plan);
    const OuterMesh mesh = sound_outside(cabinet, {0.06});
    CHECK(mesh.faces.size() == 2 * (4 * 5 + 5 * 6 + 4 * 6)); // edges of 4, 5 and 6 elements
    CHECK_THAT(worst_aspect(mesh), WithinAbs(1, 1e-9));
    const double w = 0.24, d = 0.30, h = 0.36;
    const double areas[] = {w * h, d * h, w * h, d * h, w * d, w * d}; // front, right, back, left, top, bottom
    for (int b = 0; b < 6; ++b) CHECK_THAT(area_on(mesh, On::Board, b), WithinRel(areas[b], round_off));
}

TEST_CASE("a two-way box takes some 300 facets and shows the right areas", "[mesh][outer]")
{
    const Cabinet cabinet = build_cabinet(two_way());
    const OuterMesh mesh = sound_outside(cabinet, {0.06, 12, 0.025});
    CHECK(mesh.faces.size() >= 250); // 0.528 m² in squares of 60 mm make 147; two drivers and a port some 150 more
    CHECK(mesh.faces.size() <= 350);
    // The woofer's ring: 16 sides of 28.5 mm outside, sqrt(π 0.0725²) against sqrt(0.0133): 7.5 mm wide.
    CHECK(worst_aspect(mesh) < 4);
    CHECK_THAT(area_on(mesh, On::Source, 0, 0), WithinRel(0.0133, round_off));
    CHECK_THAT(area_on(mesh, On::Insert, 0, 0), WithinRel(pi * 0.0725 * 0.0725 - 0.0133, round_off));
    CHECK_THAT(area_on(mesh, On::Source, 0, 1), WithinRel(0.0027, round_off));
    CHECK_THAT(area_on(mesh, On::Source, 2, 0), WithinRel(pi * 0.03 * 0.03, round_off));
    CHECK_THAT(area_on(mesh, On::Insert, 2, 1), WithinRel(0.07 * 0.06, round_off));
    const double holes = pi * (0.0725 * 0.0725 + 0.037 * 0.037);
    CHECK_THAT(area_on(mesh, On::Board, 0), WithinRel(0.22 * 0.38 - holes, round_off));
    const double sides[] = {0.22 * 0.38, 0.30 * 0.38, 0.22 * 0.38, 0.30 * 0.38, 0.22 * 0.30, 0.22 * 0.30};
    for (int b = 0; b < 6; ++b) CHECK_THAT(board_area(mesh, b), WithinRel(sides[b], round_off));
}

TEST_CASE("facets are small beside sources and grow to the element size", "[mesh][outer]")
{
    const Cabinet cabinet = build_cabinet(two_way());
    const OuterMesh coarse = sound_outside(cabinet, {0.06, 12, 0}), fine = sound_outside(cabinet, {0.06, 12, 0.012});
    double beside = 0, away = 0;
    for (const OuterMesh::Face& face : fine.faces) {
        const Vector3d at = fine.vertices[static_cast<std::size_t>(face.corner[0])];
        const double from_woofer = (at - Vector3d(0.11, 0, 0.13)).norm();
        if (face.on == On::Insert && face.board == 0) beside = std::max(beside, longest_side(fine, face));
        if (face.board == 2 && from_woofer > 0.3) away = std::max(away, longest_side(fine, face));
    }
    CHECK(beside < 0.012 * 1.03); // the polygon's sides are up to 2.3 % longer than the arc's share
    CHECK(away > 0.045);          // the sizes at rest; a facet's longest side lies above the mean
    CHECK(coarse.faces.size() < 320);
    CHECK(fine.faces.size() > 1.5 * static_cast<double>(coarse.faces.size()));
}

TEST_CASE("what closes a hole decides what it is", "[mesh][outer]")
{
    CabinetPlan plan = box(0.3, 0.3, 0.4, 0.018);
    const double A = pi * 0.05 * 0.05;
    const auto of = [&](const OpeningPlan& opening) {
        plan.openings = {opening};
        const OuterMesh mesh = sound_outside(build_cabinet(plan), {0.06, 12, 0.03});
        return Vector2d(area_on(mesh, On::Source, 0, 0), area_on(mesh, On::Insert, 0, 0));
    };
    const auto check = [&](const OpeningPlan& opening, double source, double insert) {
        const Vector2d areas = of(opening);
        CHECK_THAT(areas.x(), WithinAbs(source, round_off * A));
        CHECK_THAT(areas.y(), WithinAbs(insert, round_off * A));
    };
    const OpeningPlan round = hole("front", 0.15, 0.2, 0.1);
    check(round, A, 0);
    check(with(round, Kind::Plate), 0, A);
    check(with(round, Kind::Driver), 0, A);
    check(with(round, Kind::Port), A, 0);
    for (const Kind kind : {Kind::Driver, Kind::Passive}) {
        check(with(round, kind, 0.6 * A), 0.6 * A, 0.4 * A);
        check(with(round, kind, 0.2 * A), 0.2 * A, 0.8 * A); // a wide ring takes more than one round
        check(with(round, kind, 1.3 * A), A, 0);             // larger than its hole
        check(with(round, kind, 0.99 * A), 0.99 * A, 0);     // a ring of 0.25 mm: the board's
    }
}

TEST_CASE("holes of every shape keep their area", "[mesh][outer]")
{
    using Shape = OpeningPlan::Shape;
    CabinetPlan plan = box(0.3, 0.3, 0.4, 0.018);
    const double turn = GENERATE(0.0, 0.4);
    const auto mesh_of = [&](OpeningPlan opening) {
        opening.rotation = turn;
        plan.openings = {opening};
        return sound_outside(build_cabinet(plan), {0.06, 12, 0.03});
    };
    const auto mouth = [&](const OpeningPlan& opening) { return area_on(mesh_of(opening), On::Source, 0, 0); };
    CHECK_THAT(mouth(shaped(Shape::Rectangle, 0.2, 0.03)), WithinRel(0.006, round_off));
    CHECK_THAT(mouth(shaped(Shape::Slot, 0.2, 0.03)), WithinRel(0.17 * 0.03 + pi * 0.015 * 0.015, round_off));
    CHECK_THAT(mouth(shaped(Shape::Slot, 0.03, 0.2)), WithinRel(0.17 * 0.03 + pi * 0.015 * 0.015, round_off));
    for (const double r : {0.002, 0.012, 0.04, 0.06})
        CHECK_THAT(mouth(shaped(Shape::RoundedRectangle, 0.16, 0.12, r)),
                   WithinRel(0.16 * 0.12 - (4 - pi) * r * r, round_off));

    // A round cone in a square hole, and an oval one that fits as no circle.
    const OuterMesh square = mesh_of(with(shaped(Shape::Rectangle, 0.14, 0.14), Kind::Driver, 0.008));
    CHECK_THAT(area_on(square, On::Source, 0, 0), WithinRel(0.008, round_off));
    CHECK_THAT(area_on(square, On::Insert, 0, 0), WithinRel(0.14 * 0.14 - 0.008, round_off));
    const double R = std::sqrt(0.008 / pi); // the polygon's corners stand out by at most 2.3 %
    for (const OuterMesh::Face& face : square.faces)
        for (const int v : face.corner)
            if (v >= 0 && face.on == On::Source)
                CHECK((square.vertices[static_cast<std::size_t>(v)] - Vector3d(0.15, 0, 0.2)).norm() < 1.0234 * R);
    const OuterMesh oval = mesh_of(with(shaped(Shape::Slot, 0.2, 0.1), Kind::Driver, 0.012));
    CHECK_THAT(area_on(oval, On::Source, 0, 0), WithinRel(0.012, round_off));
}

TEST_CASE("a flare widens the mouth as far as the board has room", "[mesh][outer]")
{
    CabinetPlan plan = box(0.3, 0.3, 0.4, 0.018);
    const auto mouth = [&](double x) {
        OpeningPlan port = with(hole("front", x, 0.2, 0.06), Kind::Port);
        port.insert.flare = 0.015;
        plan.openings = {port};
        return area_on(sound_outside(build_cabinet(plan), {0.06}), On::Source, 0, 0);
    };
    CHECK_THAT(mouth(0.15), WithinRel(pi * 0.045 * 0.045, round_off));
    CHECK_THAT(mouth(0.042), WithinRel(pi * 0.039 * 0.039, round_off)); // 12 mm to the edge, 3 mm stay
    // Two flares share 20 mm of land less 3 mm.
    OpeningPlan port = with(hole("front", 0.15, 0.2, 0.06), Kind::Port),
                other = with(hole("front", 0.15, 0.28, 0.06), Kind::Port);
    port.insert.flare = other.insert.flare = 0.015;
    plan.openings = {port, other};
    const OuterMesh mesh = sound_outside(build_cabinet(plan), {0.06});
    for (const int o : {0, 1}) CHECK_THAT(area_on(mesh, On::Source, 0, o), WithinRel(pi * 0.0385 * 0.0385, round_off));
}

TEST_CASE("leaning, tapered and bent outlines", "[mesh][outer]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.5, 0.018);
    std::vector<double> areas; // by board
    SECTION("leaning front")
    {
        const double lean = 0.15, t = std::tan(lean), side = 0.34 * 0.5 - 0.125 * t;
        plan.baffle_slope = lean;
        areas = {0.26 * 0.5 / std::cos(lean), side, 0.26 * 0.5, side, 0.26 * (0.34 - 0.5 * t), 0.26 * 0.34};
    }
    SECTION("taper")
    {
        plan.outline[2].x() -= 0.04;
        plan.outline[3].x() += 0.04;
        const double side = std::hypot(0.04, 0.34) * 0.5, lid = 0.22 * 0.34;
        areas = {0.26 * 0.5, side, 0.18 * 0.5, side, lid, lid};
    }
    SECTION("L-shaped")
    {
        plan.outline = {{0, 0}, {0.26, 0}, {0.26, 0.15}, {0.14, 0.15}, {0.14, 0.34}, {0, 0.34}};
        plan.walls.clear();
        for (const char* name : {"front", "right", "step", "inner", "back", "left"})
            plan.walls.push_back(wall(name, 0.018));
        const double lid = 0.26 * 0.15 + 0.14 * 0.19;
        areas = {0.13, 0.075, 0.06, 0.095, 0.07, 0.17, lid, lid};
    }
    plan.openings = {with(hole("front", 0.13, 0.25, 0.17), Kind::Driver, 0.018)};
    const Cabinet cabinet = build_cabinet(plan);
    const OuterMesh mesh = sound_outside(cabinet, {0.06, 12, 0.03});
    for (std::size_t b = 0; b < areas.size(); ++b)
        CHECK_THAT(board_area(mesh, static_cast<int>(b)), WithinRel(areas[b], round_off));
    CHECK_THAT(area_on(mesh, On::Source, 0, 0), WithinRel(0.018, round_off));
    CHECK(worst_aspect(mesh) < 4);
}

TEST_CASE("narrow walls and narrow lands", "[mesh][outer]")
{
    SECTION("a bevel of 14 mm is divided along its length")
    {
        CabinetPlan plan = box(0.26, 0.3, 0.4, 0.003);
        plan.outline = {{0.01, 0}, {0.26, 0}, {0.26, 0.3}, {0, 0.3}, {0, 0.01}};
        plan.walls.push_back(wall("bevel", 0.003));
        const Cabinet cabinet = build_cabinet(plan);
        const OuterMesh mesh = sound_outside(cabinet, {0.08});
        // 400 mm in 7 sides of 57.1 mm; a width of 14.1 mm.
        for (const OuterMesh::Face& face : mesh.faces)
            if (face.board == 4) CHECK_THAT(aspect(mesh, face), WithinRel(0.4 / 7 / (0.01 * std::sqrt(2.0)), 1e-9));
    }
    SECTION("holes 10 mm and 1.2 mm from edge and neighbour")
    {
        const double land = GENERATE(0.010, 0.0012);
        CabinetPlan plan = box(0.2, 0.3, 0.5, 0.002); // thin walls, so that a hole may come near to the edge
        const double r = 0.08, x = r + 2 * land;
        plan.openings = {hole("front", x, 0.12, 2 * r), hole("front", x, 0.12 + 2 * r + land, 2 * r)};
        const OuterMesh mesh = sound_outside(build_cabinet(plan), {0.06, 12, 0});
        for (const int o : {0, 1}) CHECK_THAT(area_on(mesh, On::Source, 0, o), WithinRel(pi * r * r, round_off));
        if (land == 0.010) CHECK(worst_aspect(mesh) < 4);
        CHECK(mesh.faces.size() < 600);
    }
}

TEST_CASE("the same cabinet gives the same outside bit for bit", "[mesh][outer]")
{
    const Cabinet cabinet = build_cabinet(two_way());
    const OuterMesh first = mesh_outer(cabinet, {0.05, 12, 0.02}), second = mesh_outer(cabinet, {0.05, 12, 0.02});
    CHECK(first.vertices == second.vertices);
    REQUIRE(first.faces.size() == second.faces.size());
    for (std::size_t f = 0; f < first.faces.size(); ++f) CHECK(first.faces[f].corner == second.faces[f].corner);
}

TEST_CASE("options out of range and holes beyond the outer face are refused", "[mesh][outer]")
{
    const Cabinet cabinet = build_cabinet(box(0.24, 0.30, 0.38, 0.018));
    CHECK_THROWS_WITH(mesh_outer(cabinet, {0.001}), Contains("between 2 mm and 10 m"));
    CHECK_THROWS_WITH(mesh_outer(cabinet, {std::nan("")}), Contains("between 2 mm and 10 m"));
    CHECK_THROWS_WITH(mesh_outer(cabinet, {0.05, 12, 0.001}), Contains("between 2 mm and 10 m"));
    CHECK_THROWS_WITH(mesh_outer(cabinet, {0.05, 3}), Contains("between 8 and 400"));

    // At an inward corner the covering board runs on behind its neighbour; a hole there does not see the outside.
    CabinetPlan plan = box(0.3, 0.34, 0.5, 0.018);
    plan.outline = {{0, 0}, {0.3, 0}, {0.3, 0.15}, {0.14, 0.15}, {0.14, 0.34}, {0, 0.34}};
    plan.walls.clear();
    for (const char* name : {"front", "right", "step", "inner", "back", "left"})
        plan.walls.push_back(wall(name, 0.018));
    plan.openings = {hole("step", 0.14 + 0.03 - 0.004, 0.25, 0.06)};
    const Cabinet bent = build_cabinet(plan);
    CHECK_THROWS_AS(mesh_outer(bent, {0.06}), MeshError);
}

TEST_CASE("random cabinets have a sound outside", "[mesh][outer][stress]")
{
    int n_meshed = 0, n_facets = 0, n_long = 0;
    for (unsigned seed = 0; n_meshed < 60; ++seed) {
        REQUIRE(seed < 150);
        RandomPlan random(seed);
        CabinetPlan plan = random.make();
        for (OpeningPlan& o : plan.openings)
            if (o.insert.kind == Kind::Driver && seed % 3 > 0)
                o = with(o, Kind::Driver, (seed % 3 == 1 ? 0.16 : 0.24) * pi * o.width * o.width);
        const auto cabinet = cabinet_if_any(plan);
        if (!cabinet) continue;
        CAPTURE(seed);
        const double size = random.element_size() + 0.02;
        const OuterMesh mesh = sound_outside(*cabinet, {size, 12, seed % 2 ? size / 2 : 0});
        ++n_meshed;
        n_facets += static_cast<int>(mesh.faces.size());
        for (const OuterMesh::Face& face : mesh.faces) n_long += face.on != On::Insert && aspect(mesh, face) > 4;
    }
    CHECK(n_long < n_facets / 1000); // only in lands and beside rims of a few millimetres
}
