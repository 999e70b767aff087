// Curved walls: the cylinder they lie on, what is drawn of them, what they weigh and enclose.
#include "mesh/cabinet/volume_lines.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/gmsh/outer_mesher.h"
#include "tests/mesh/build_fixture.h"

#include <Eigen/Geometry>

#include <algorithm>

using namespace build_fixture;

namespace {

constexpr double pi = std::numbers::pi;

/// The fixture's box with both sides bent by `bulge_mm`.
CabinetPlan bulged(double bulge_mm)
{
    CabinetPlan plan = box_plan();
    plan.walls[1].bulge = plan.walls[3].bulge = bulge_mm * mm;
    return plan;
}

/// A round tower of three arcs that go on into each other, outer radius R.
CabinetPlan tower(double R_mm)
{
    CabinetPlan plan = box_plan();
    plan.outline.clear();
    plan.walls.clear();
    for (int k = 0; k < 3; ++k) {
        const double angle = 2 * pi * k / 3 - pi / 2;
        plan.outline.emplace_back(R_mm * mm * std::cos(angle), R_mm * mm * std::sin(angle));
        WallPlan wall;
        wall.name = "arc " + std::to_string(k + 1);
        wall.layup = board_of(15);
        wall.bulge = R_mm / 2 * mm; // of 120°: R (1 − cos 60°)
        plan.walls.push_back(wall);
    }
    return plan;
}

double inner_volume(const Cabinet& cabinet)
{
    return volume_lines(cabinet).front().volume;
}

/// Area between a chord and its arc of radius R.
double segment(double R, double chord)
{
    const double angle = 2 * std::asin(chord / 2 / R);
    return R * R / 2 * (angle - std::sin(angle));
}

} // namespace

TEST_CASE("a bent frame rolls out and back", "[build][curved]")
{
    Frame frame;
    frame.origin = {0.1, -0.2, 0.3};
    frame.curvature = GENERATE(4.0, -2.5);
    for (const double x : {-0.3, -0.01, 0.0, 0.2})
        for (const double h : {-0.02, 0.0, 0.015}) {
            const Vector2d p(x, 0.17);
            const Vector3d foot = frame.to_space(p);
            const Frame touching = frame.touching(foot);
            const Vector3d at = foot + h * touching.n;
            // Reference: the coordinates given. Tolerance: round-off of sines.
            CHECK((frame.to_board(at) - p).norm() < 1e-14);
            CHECK_THAT(frame.height_of(at), WithinAbs(h, 1e-14));
            // Reference: the first axis is the slope of to_space. Tolerance: a central difference over 2e-5 m.
            const Vector3d slope =
                (frame.to_space(p + Vector2d(1e-5, 0)) - frame.to_space(p - Vector2d(1e-5, 0))) / 2e-5;
            CHECK((slope - touching.e1).norm() < 1e-9);
            CHECK((touching.e1.cross(touching.e2) - touching.n).norm() < 1e-14);
        }
}

TEST_CASE("a curved wall is one board with the radius of its bulge", "[build][curved]")
{
    const double bulge = GENERATE(25.0, -12.0);
    const Cabinet cabinet = build_cabinet(bulged(bulge));
    REQUIRE(cabinet.boards.size() == 6);
    REQUIRE(cabinet.facets);
    const Board& right = cabinet.board(1);
    // Reference: sagitta s over the chord c, R = (c²/4 + s²)/(2 s) of the outer face. Tolerance: round-off.
    const double R = (0.15 * 0.15 + bulge * bulge * mm * mm) / (2 * std::abs(bulge) * mm);
    const double sign = bulge > 0 ? 1 : -1;
    CHECK_THAT(1 / right.frame.curvature, WithinRel(sign * (R - sign * 0.009), 1e-12));
    CHECK(right.frame.n.isApprox(Vector3d::UnitX(), 1e-12));
    // Reference: the arc between front's and back's inner faces, 264 mm apart, at the neutral fibre; front and back
    //   cover the ends, which are sawn aslant, so that one face is longer by the thickness times the slope at each.
    //   Tolerance: 0.4 mm, the end planes' share of a facet's rise.
    const double middle = R - sign * 0.009, half_angle = std::asin(0.132 / middle);
    const auto [low, high] = std::minmax_element(right.sawn.begin(), right.sawn.end(),
                                                 [](const Vector2d& a, const Vector2d& b) { return a.x() < b.x(); });
    CHECK_THAT(high->x() - low->x(), WithinAbs(2 * middle * half_angle + 0.018 * std::tan(half_angle), 4e-4));
}

TEST_CASE("curved walls enclose and weigh what the circle says", "[build][curved]")
{
    const CabinetPlan plan = bulged(25);
    const Cabinet cabinet = build_cabinet(plan);
    const double R = (0.15 * 0.15 + 0.025 * 0.025) / 0.05, inner = R - 0.018;
    // Reference: a rectangle of 264 mm depth between two circular segments, closed form; half width at the front's
    //   inner face from the circle. Tolerance: 2e-4; facets bound the arc's area to their rise squared.
    const double half = 0.12 + 0.025 - R + std::sqrt(inner * inner - 0.132 * 0.132);
    const double section = 2 * half * 0.264 + 2 * segment(inner, 0.264);
    CHECK_THAT(inner_volume(cabinet), WithinRel(section * 0.344, 2e-4));
    // Reference: outer less inner body times the density. Tolerance: as above, on a quarter of the body.
    const double outer = 0.24 * 0.3 + 2 * segment(R, 0.3);
    CHECK_THAT(bookkeeping(cabinet).board_mass, WithinRel(750 * (outer * 0.38 - section * 0.344), 8e-4));
    CHECK(bookkeeping(cabinet).parts.size() == 6);
}

TEST_CASE("a round tower of three arcs is a tube", "[build][curved]")
{
    const Cabinet cabinet = build_cabinet(tower(200));
    REQUIRE(cabinet.boards.size() == 5);
    // Reference: π (R − t)² (H − 2 t). Tolerance: as above.
    CHECK_THAT(inner_volume(cabinet), WithinRel(pi * 0.185 * 0.185 * 0.344, 2e-4));
    // The arcs go on into each other: no joint between them, only those with top and bottom.
    for (const Junction& j : cabinet.junctions) CHECK(j.passing != j.ending);
    CHECK(std::none_of(cabinet.junctions.begin(), cabinet.junctions.end(),
                       [](const Junction& j) { return j.passing < 3 && j.ending < 3; }));
}

TEST_CASE("shell nodes of curved walls lie on the cylinder", "[mesh][curved]")
{
    CabinetPlan plan = bulged(25);
    BracePlan shelf, upright;
    shelf.name = "shelf";
    shelf.at = 0.2;
    shelf.layup = board_of(12);
    upright.name = "plate";
    upright.plane = BracePlan::Plane::SideToSide;
    upright.at = 0.17;
    upright.z_to = 0.12;
    upright.layup = board_of(12);
    plan.braces = {shelf, upright};
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    std::vector<double> area_of(cabinet.boards.size(), 0.0);
    double off = 0;
    for (const ShellMesh::Quad& quad : mesh.quads) {
        const Board& board = cabinet.board(quad.board);
        for (const int node : quad.node) off = std::max(off, std::abs(board.frame.height_of(mesh.nodes.col(node))));
        area_of[static_cast<std::size_t>(quad.board)] += area(mesh, quad);
    }
    // Reference: the boards' own mid-surfaces, all nodes of an element, middles too. Tolerance: round-off of Newton's
    //   steps.
    CHECK(off < 1e-9);
    // Reference: chord between the mid-planes of front and back, 282 mm, as an arc of the mid-surface, times the height
    //   between those of top and bottom. Tolerance: 1e-3, ends as in the test of the sawn length.
    const double middle = 1 / cabinet.board(1).frame.curvature;
    CHECK_THAT(area_of[1], WithinRel(2 * middle * std::asin(0.141 / middle) * 0.362, 1e-3));
    CHECK(mesh_quality(mesh).min_scaled_jacobian > 0.05); // what the mesher itself calls of use
}

TEST_CASE("air and outside of curved walls", "[mesh][curved]")
{
    const Cabinet cabinet = build_cabinet(bulged(25));
    const AirMesh air = mesh::mesh_air(cabinet, {0.06});
    // Reference: the bookkeeping's inner volume. Tolerance: both are the same facets; round-off.
    CHECK_THAT(volume(air), WithinRel(inner_volume(cabinet), 1e-9));
    double off = 0;
    for (const AirMesh::Face& face : air.faces) {
        REQUIRE(face.board < 6);
        const Board& board = cabinet.board(face.board);
        for (const int node : face.node)
            off = std::max(off, std::abs(std::abs(board.frame.height_of(air.nodes.col(node))) - board.thickness() / 2));
    }
    // Reference: the boards' inner faces. Tolerance: what cabinet.h says of a facet, 0.4 mm, and round-off.
    CHECK(off < 4.1e-4);
    const OuterMesh outer = mesh::mesh_outer(cabinet, {0.06});
    off = 0;
    for (const OuterMesh::Face& face : outer.faces) {
        const Board& board = cabinet.board(face.board);
        for (const int corner : face.corner)
            if (corner >= 0)
                off = std::max(off, std::abs(board.frame.height_of(outer.vertices[static_cast<std::size_t>(corner)]) -
                                             board.thickness() / 2));
    }
    // Reference: the outer faces. Tolerance: as above.
    CHECK(off < 4.1e-4);
}

TEST_CASE("what curved walls cannot have is refused", "[build][curved]")
{
    const auto message = [](const CabinetPlan& plan) {
        try {
            static_cast<void>(build_cabinet(plan));
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    CabinetPlan plan = bulged(25);
    OpeningPlan hole;
    hole.name = "port";
    hole.board = "right";
    hole.width = hole.height = 0.05;
    plan.openings = {hole};
    CHECK_THAT(message(plan), Catch::Contains("openings.port.board: a hole in a curved wall"));
    plan = bulged(25);
    plan.baffle_slope = 0.1;
    CHECK_THAT(message(plan), Catch::Contains("does not go with curved walls"));
    CHECK_THAT(message(bulged(160)), Catch::Contains("more than half a circle"));
    plan = tower(75);
    CHECK_THAT(message(plan), Catch::Contains("has a radius of 75 mm"));
}
