// The air inside a cabinet: volume, chambers, and what its boundary lies on.
#include "mesh/cabinet/error.h"
#include "mesh/cabinet/polygon.h"
#include "mesh/gmsh/air_mesher.h"
#include "tests/mesh/mesher_random.h"

#include <catch2/catch.hpp>

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numbers>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using mesh::mesh_air;
using On = AirMesh::Face::On;

namespace {

constexpr double pi = std::numbers::pi;
// Reference, where a case names no other: lengths and areas by hand from the drawing, and the bookkeeping's volume,
// which comes from the drawing in closed form, without a mesh. Tolerance: plane boards: the mesh fills the drawing to
// round-off.
constexpr double plane_faces = 1e-9;
// Arcs of at most 45° as parabolas: area and volume of a round body to 3e-4, with straightened sides here and there
// 3e-3.
constexpr double round_faces = 3e-3;
// A round body's share in the air's volume is below 1/10.
constexpr double round_bodies = 3e-4;

double area_where(const AirMesh& mesh, const std::function<bool(const AirMesh::Face&)>& is_meant)
{
    double sum = 0;
    for (const AirMesh::Face& face : mesh.faces)
        if (is_meant(face)) sum += area(mesh, face);
    return sum;
}

double area_on(const AirMesh& mesh, On on)
{
    return area_where(mesh, [&](const AirMesh::Face& face) { return face.on == on; });
}

double board_area(const AirMesh& mesh, int board, int side)
{
    return area_where(mesh, [&](const auto& f) { return f.on == On::Board && f.board == board && f.side == side; });
}

/// The surface is closed, elements are right, flat faces lie where their tag says.
void check_sound(const Cabinet& cabinet, const AirMesh& mesh)
{
    REQUIRE(mesh.tets.size() == mesh.chamber.size());
    std::map<std::array<int, 2>, int> uses;
    Vector3d sum = Vector3d::Zero();
    double off_plane = 0, off_normal = 0;
    for (const AirMesh::Face& face : mesh.faces) {
        const Vector3d out = area_vector(mesh, face);
        sum += out;
        for (std::size_t a = 0; a < 3; ++a) {
            const auto [low, high] = std::minmax(face.node[a], face.node[(a + 1) % 3]);
            ++uses[{low, high}];
        }
        if (face.on != On::Board || face.side == 0) continue;
        const Board& board = cabinet.board(face.board);
        for (const int node : face.node)
            off_plane = std::max(
                off_plane, std::abs(board.frame.height_of(mesh.nodes.col(node)) - face.side * board.thickness() / 2));
        off_normal = std::max(off_normal, (out.normalized() + face.side * board.frame.n).norm());
    }
    CHECK(std::all_of(uses.begin(), uses.end(), [](const auto& edge) { return edge.second % 2 == 0; }));
    CHECK(sum.norm() < 1e-12); // round-off of some 0.1 m²
    CHECK(off_plane < 1e-9);
    CHECK(off_normal < 1e-6);
    double worst_shape = 1, worst_jacobian = 1;
    for (const auto& tet : mesh.tets) {
        worst_shape = std::min(worst_shape, shape(mesh, tet));
        worst_jacobian = std::min(worst_jacobian, jacobian_ratio(mesh, tet));
    }
    CHECK(worst_shape > 1e-3);
    CHECK(worst_jacobian > 0);
    CHECK(*std::max_element(mesh.chamber.begin(), mesh.chamber.end()) == mesh.n_chambers - 1);
}

AirMesh sound_air(const Cabinet& cabinet, double element_size = 0.08)
{
    AirMesh mesh = mesh_air(cabinet, {element_size});
    check_sound(cabinet, mesh);
    return mesh;
}

OpeningPlan insert_in(OpeningPlan opening, InsertPlan::Kind kind, double volume)
{
    opening.insert.kind = kind;
    opening.insert.mass = 1;
    opening.insert.volume = volume;
    return opening;
}

/// Greatest distance of a body's nodes behind the front's inner face [m].
double body_depth(const Cabinet& cabinet, const AirMesh& mesh)
{
    double depth = 0;
    for (const AirMesh::Face& face : mesh.faces) {
        if (face.on != On::Body && face.on != On::Mouth) continue;
        const Board& board = cabinet.board(face.board);
        for (const int node : face.node)
            depth = std::max(depth, -board.frame.height_of(mesh.nodes.col(node)) - board.thickness() / 2);
    }
    return depth;
}

} // namespace

TEST_CASE("the air of a plain box is the space between its inner faces", "[mesh][air]")
{
    const Cabinet cabinet = build_cabinet(box(0.24, 0.30, 0.38, 0.018));
    const AirMesh mesh = sound_air(cabinet);
    const double w = 0.204, d = 0.264, h = 0.344; // [m] by hand
    CHECK_THAT(volume(mesh), WithinRel(w * d * h, plane_faces));
    CHECK(mesh.n_chambers == 1);
    const double areas[] = {w * h, d * h, w * h, d * h, w * d, w * d}; // front, right, back, left, top, bottom
    for (int b = 0; b < 6; ++b) CHECK_THAT(board_area(mesh, b, -1), WithinRel(areas[b], plane_faces));
}

TEST_CASE("the same cabinet gives the same air bit for bit", "[mesh][air]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const AirMesh first = mesh_air(cabinet, {0.08}), second = mesh_air(cabinet, {0.08});
    CHECK(first.nodes == second.nodes);
    CHECK(first.tets == second.tets);
}

TEST_CASE("a shelf with a window stands in the air with faces, edges and its true thickness", "[mesh][air]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const AirMesh mesh = sound_air(cabinet);
    const int shelf = cabinet.board_index("shelf").value();
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, plane_faces));
    const double face = 0.204 * 0.258 - 0.110 * 0.150; // clear width and depth less the window
    CHECK_THAT(board_area(mesh, shelf, 1), WithinRel(face, plane_faces));
    CHECK_THAT(board_area(mesh, shelf, -1), WithinRel(face, plane_faces));
    const double window =
        area_where(mesh, [&](const auto& f) { return f.board == shelf && f.side == 0 && f.opening == 0; });
    CHECK_THAT(window, WithinRel(2 * (0.110 + 0.150) * 0.018, plane_faces));
    CHECK_THAT(board_area(mesh, shelf, 0), WithinRel(window, plane_faces)); // no other edge is free
    // The smaller hole is whole. The shelf's end covers part of the larger: 1 mm above its upper face the hole ends.
    const auto hole = [&](int o) {
        return area_where(mesh, [o](const auto& f) { return f.on == On::Hole && f.opening == o; });
    };
    CHECK_THAT(hole(1), WithinRel(pi * 0.045 * 0.045, round_faces));
    const double R = 0.085;
    const auto segment = [&](double y) { return R * R * std::acos(y / R) - y * std::sqrt(R * R - y * y); }; // beyond y
    const double covered = segment(0.196 - 0.130) - segment(0.214 - 0.130);
    CHECK_THAT(hole(0), WithinRel(pi * R * R - covered, round_faces));
    CHECK_THAT(board_area(mesh, 0, -1) + hole(0) + hole(1), WithinRel(0.204 * (0.344 - 0.018), plane_faces));
}

TEST_CASE("crossing braces part the air into chambers, a window joins two", "[mesh][air]")
{
    CabinetPlan plan = box(0.3, 0.32, 0.6, 0.018);
    plan.braces = {shelf("shelf", 0.26, 0.018), shelf("upright", 0.17, 0.015)};
    plan.braces[1].plane = BracePlan::Plane::FrontToBack;
    const Cabinet closed = build_cabinet(plan);
    const AirMesh four = sound_air(closed);
    CHECK(four.n_chambers == 4);
    CHECK_THAT(volume(four), WithinRel(bookkeeping(closed).net_volume_m3, plane_faces));

    plan.openings = {window("upright", 0.1, 0.12)};
    plan.openings[0].y = 0.16;
    plan.openings[0].z = 0.45;
    const Cabinet open = build_cabinet(plan);
    const AirMesh three = sound_air(open);
    CHECK(three.n_chambers == 3);
    CHECK_THAT(volume(three), WithinRel(bookkeeping(open).net_volume_m3, plane_faces));
}

TEST_CASE("leaning front, taper and slanted brace keep the bookkeeping's volume", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.5, 0.018);
    SECTION("leaning front")
    {
        plan.baffle_slope = 0.15;
    }
    SECTION("taper")
    {
        plan.outline[2].x() -= 0.04;
        plan.outline[3].x() += 0.04;
    }
    BracePlan brace = shelf("brace", 0, 0.022);
    brace.plane = BracePlan::Plane::Slanted;
    brace.point = {0.13, 0.17, 0.25};
    brace.normal = {0, std::sin(0.5), std::cos(0.5)};
    plan.braces = {brace};
    plan.openings = {window("brace", 0.09, 0.14)};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    CHECK(mesh.n_chambers == 1);
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, plane_faces));
}

TEST_CASE("a thick brace ends cleanly at a thin leaning one", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.5, 0.018);
    BracePlan thin = shelf("thin", 0, 0.006);
    thin.plane = BracePlan::Plane::Slanted;
    thin.point = {0.13, 0.17, 0.2};
    thin.normal = {0, std::sin(0.6), std::cos(0.6)};
    BracePlan thick = shelf("thick", 0.17, 0.036);
    thick.plane = BracePlan::Plane::SideToSide;
    thick.ends_at = {"thin"};
    plan.braces = {thin, thick};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    CHECK(mesh.n_chambers == 3);
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, plane_faces));
}

TEST_CASE("a driver or passive radiator displaces a cone frustum half as wide at its end", "[mesh][air]")
{
    const InsertPlan::Kind kind = GENERATE(InsertPlan::Kind::Driver, InsertPlan::Kind::Passive);
    CabinetPlan plan = box(0.26, 0.34, 0.4, 0.018);
    const double R = 0.07, depth = 0.09;
    const double V = pi * depth * R * R * 7 / 12; // (1 + 1/2 + 1/4)/3 of the cylinder
    plan.openings = {insert_in(hole("front", 0.13, 0.15, 2 * R), kind, V)};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, round_bodies));
    CHECK_THAT(body_depth(cabinet, mesh), WithinAbs(depth, 1e-9));
    const double cone = pi * 1.5 * R * std::hypot(depth, R / 2), end = pi * R * R / 4;
    CHECK_THAT(area_on(mesh, On::Body), WithinRel(cone + end, round_faces));
    CHECK_THAT(board_area(mesh, 0, -1), WithinRel(0.224 * 0.364 - pi * R * R, round_faces));
}

TEST_CASE("a driver too deep for the box is made shorter and wider, at last refused", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.16, 0.4, 0.018); // 124 mm behind the front
    const double R = 0.05, room = 0.124, cylinder = pi * R * R * room;
    // Shares of the cylinder as wide as the hole and as deep as the box; a full frustum takes 7/12 = 0.583.
    const auto with = [&](double share) {
        plan.openings = {insert_in(hole("front", 0.13, 0.2, 2 * R), InsertPlan::Kind::Driver, share * cylinder)};
        return build_cabinet(plan);
    };
    for (const double share : {0.4, 0.75, 1.2}) { // half, nearly full end, wider than the hole
        const Cabinet cabinet = with(share);
        const AirMesh mesh = sound_air(cabinet);
        CAPTURE(share);
        CHECK_THAT(volume(mesh),
                   WithinRel(bookkeeping(cabinet).net_volume_m3, 2 * round_bodies)); // a larger share of the air
        CHECK(body_depth(cabinet, mesh) <= room - 5e-3 + 1e-9);
        const double covered = 0.224 * 0.364 - board_area(mesh, 0, -1);
        CHECK((covered > pi * R * R * (1 + round_faces)) == (share > 1));
    }
    CHECK_THROWS_AS(mesh_air(with(6), {0.08}), InputError);
}

TEST_CASE("a port ends in a mouth, flush when it displaces nothing", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.4, 0.018);
    const double r = 0.03, depth = 0.12, A = pi * r * r;
    const double V = GENERATE(0.0, 1.0) * A * depth;
    plan.openings = {insert_in(hole("back", 0.13, 0.25, 2 * r), InsertPlan::Kind::Port, V)};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    CHECK_THAT(area_on(mesh, On::Mouth), WithinRel(A, round_faces));
    CHECK_THAT(area_on(mesh, On::Body), WithinAbs(V > 0 ? 2 * pi * r * depth : 0, round_faces * 2 * pi * r * depth));
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, round_bodies));
}

TEST_CASE("an insert closes the window of a partition", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.4, 0.018);
    plan.braces = {shelf("partition", 0.2, 0.018)};
    OpeningPlan seat = window("partition", 0.12, 0.12);
    seat.shape = OpeningPlan::Shape::Circle;
    plan.openings = {insert_in(seat, InsertPlan::Kind::Driver, 0)};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    CHECK(mesh.n_chambers == 2);
    CHECK_THAT(area_on(mesh, On::Hole), WithinRel(2 * pi * 0.06 * 0.06, round_faces)); // seen from both chambers
}

TEST_CASE("rods and ribs stand in the air", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.4, 0.018);
    RodPlan rod;
    rod.name = "rod";
    rod.from = {0.009, 0.17, 0.2};
    rod.to = {0.251, 0.17, 0.2};
    SECTION("round")
    {
        rod.diameter = 0.025;
    }
    SECTION("rectangular")
    {
        rod.width = 0.03;
        rod.height = 0.02;
    }
    plan.rods = {rod};
    RibPlan rib;
    rib.name = "rib";
    rib.board = "left";
    rib.y1 = 0.1;
    rib.y2 = 0.25;
    rib.z1 = rib.z2 = 0.1;
    rib.width = 0.02;
    rib.height = 0.03;
    plan.ribs = {rib};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    const bool is_round = rod.diameter.has_value();
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3, is_round ? round_bodies : plane_faces));
    CHECK_THAT(area_on(mesh, On::Rib), WithinRel(0.15 * (0.02 + 2 * 0.03) + 2 * 0.02 * 0.03, plane_faces));
    const double girth = is_round ? pi * 0.025 : 2 * (0.03 + 0.02);
    CHECK_THAT(area_on(mesh, On::Rod), WithinRel(0.224 * girth, is_round ? round_faces : plane_faces));
    if (is_round) return;
    double highest = 0; // the height is upright, as in the beam
    for (const AirMesh::Face& face : mesh.faces)
        if (face.on == On::Rod)
            for (const int node : face.node) highest = std::max(highest, mesh.nodes(2, node));
    CHECK_THAT(highest, WithinAbs(0.21, 1e-9));
}

TEST_CASE("layers take their thickness from the air", "[mesh][air]")
{
    CabinetPlan plan = box(0.26, 0.34, 0.4, 0.018);
    plan.outline[2].x() -= 0.03; // a leaning neighbour beside the layer
    plan.braces = {shelf("shelf", 0.2, 0.018)};
    plan.openings = {window("shelf", 0.1, 0.12), hole("back", 0.12, 0.3, 0.06)};
    const double thickness = 0.004;
    LayerPlan sheet;
    sheet.name = "sheet";
    sheet.board = "back";
    sheet.layup = board_of(thickness);
    LayerPlan patch = sheet;
    patch.name = "patch";
    patch.board = "shelf";
    patch.cover = 0.7;
    plan.layers = {sheet, patch};
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh mesh = sound_air(cabinet);
    const double bored = pi * 0.03 * 0.03; // the sheet runs on across the hole, and behind the shelf it is no air
    const double behind_shelf = thickness * 0.018 * bounds(cabinet.layers[0].region).size().minCoeff();
    // Tolerance 2e-5: the sheet's edge closes its wedge beside the leaning wall, 16 mm² · tan 5° / 2 · 0.36 m = 0.3 ml
    // of 25 l.
    CHECK_THAT(volume(mesh), WithinRel(bookkeeping(cabinet).net_volume_m3 - bored * thickness + behind_shelf, 2e-5));
    const auto layer = [&](int k) {
        return area_where(mesh, [k](const auto& f) { return f.on == On::Layer && f.item == k && f.side != 0; });
    };
    CHECK_THAT(layer(1), WithinRel(cabinet.layers[1].area, plane_faces));
    CHECK(board_area(mesh, cabinet.board_index("back").value(), -1) < 1e-12); // covered all over
    CHECK_THAT(area_on(mesh, On::Hole), WithinRel(bored, round_faces));
}

TEST_CASE("element sizes out of range are refused", "[mesh][air]")
{
    const Cabinet cabinet = build_cabinet(box(0.24, 0.30, 0.38, 0.018));
    CHECK_THROWS_WITH(mesh_air(cabinet, {0.001}), Contains("between 2 mm and 10 m"));
    CHECK_THROWS_WITH(mesh_air(cabinet, {std::nan("")}), Contains("between 2 mm and 10 m"));
}

TEST_CASE("random cabinets are meshed whole", "[mesh][air][stress]")
{
    int n_meshed = 0, n_compared = 0;
    for (unsigned seed = 0; n_meshed < 20; ++seed) {
        REQUIRE(seed < 60);
        const CabinetPlan plan = RandomPlan(seed).make();
        const auto cabinet = cabinet_if_any(plan);
        if (!cabinet) continue;
        CAPTURE(seed);
        const AirMesh mesh = sound_air(*cabinet, 0.1);
        ++n_meshed;
        // The bookkeeping takes braces' crossings in pairs and ribs in full length: exact with at most two braces that
        // do not graze each other, and no ribs.
        const bool is_plain = plan.braces.size() <= 2 && plan.ribs.empty() &&
                              std::all_of(cabinet->junctions.begin(), cabinet->junctions.end(), [](const Junction& j) {
                                  return j.kind != Junction::Kind::Cross || j.angle > 0.5;
                              });
        if (!is_plain) continue;
        CHECK_THAT(volume(mesh),
                   WithinRel(bookkeeping(*cabinet).net_volume_m3, 3e-5)); // rounded windows: measured 3e-6
        ++n_compared;
    }
    CHECK(n_compared >= 5);
}
