// Whole boxes whose areas, edges and counts are known in closed form.

#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_cabinets.h"

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <numbers>
#include <set>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using std::numbers::pi;

namespace {

double board_area(const ShellMesh& mesh, int board)
{
    double sum = 0;
    for (const auto& quad : mesh.quads)
        if (quad.board == board) sum += area(mesh, quad);
    return sum;
}

/// Corners − sides + elements.
int euler_characteristic(const ShellMesh& mesh)
{
    std::set<int> corners, middles;
    for (const auto& quad : mesh.quads)
        for (int c = 0; c < 4; ++c) {
            corners.insert(quad.node[c]);
            middles.insert(quad.node[4 + c]);
        }
    return static_cast<int>(corners.size()) - static_cast<int>(middles.size()) + static_cast<int>(mesh.quads.size());
}

} // namespace

TEST_CASE("a plain box: closed, right-angled, strips of their width", "[mesh][gmsh]")
{
    const Cabinet cabinet = build_cabinet(box(0.24, 0.30, 0.38, 0.018));
    const double h = GENERATE(0.08, 0.04, 0.015);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {h});
    const MeshQuality quality = mesh_quality(mesh);
    CAPTURE(h, mesh.quads.size());

    // Reference: mid-surfaces 222 × 362, 222 × 282 and 362 × 282 mm, two of each.
    // Tolerance: round-off of a few thousand sums.
    CHECK_THAT(quality.area, WithinRel(2 * (0.222 * 0.362 + 0.222 * 0.282 + 0.362 * 0.282), 1e-10));
    // Reference: a closed box has no free edge. Tolerance: none, nothing is summed.
    CHECK(quality.free_edge_length == 0);
    // Reference: rectangles cut into rectangles. Tolerance: round-off.
    CHECK_THAT(quality.min_scaled_jacobian, WithinAbs(1, 1e-9));
    // Reference: Euler, a surface like a sphere has V − E + F = 2; unmerged nodes would raise it.
    CHECK(euler_characteristic(mesh) == 2);
    // Reference: per board an inside, four strips, four corners where two strips meet.
    CHECK(mesh.zones.size() == 6 * 9);

    for (int j = 0; j < static_cast<int>(cabinet.junctions.size()); ++j) {
        const Junction& junction = cabinet.junctions[j];
        std::map<int, double> strip; // board → area
        for (const auto& quad : mesh.quads) {
            const auto& strips = mesh.zones[quad.zone].strips;
            if (std::find(strips.begin(), strips.end(), j) != strips.end()) strip[quad.board] += area(mesh, quad);
        }
        // Reference: length times width of the strip. Tolerance: round-off.
        const double length = (junction.to - junction.from).norm();
        CHECK_THAT(strip[junction.passing], WithinRel(length * junction.strip_passing, 1e-9));
        CHECK_THAT(strip[junction.ending], WithinRel(length * junction.strip_ending, 1e-9));
    }
}

TEST_CASE("a shelf in front of a driver's hole", "[mesh][gmsh]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const double h = GENERATE(0.06, 0.04, 0.02);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {h});
    const MeshQuality quality = mesh_quality(mesh);
    CAPTURE(h, mesh.quads.size());

    // Reference: the front's mid-surface less two circles. Tolerance: a quadratic side on a twelfth of a circle misses
    // the arc's area by 1e-4 of the hole.
    CHECK_THAT(board_area(mesh, cabinet.board_index("front").value()),
               WithinRel(0.222 * 0.362 - pi * (0.085 * 0.085 + 0.045 * 0.045), 2e-4));
    // Reference: the hole's chord on the shelf's mid-plane, 75 mm above its centre, is 2 √(85² − 75²) = 80 mm. There
    // the shelf ends at the front's inner face, 15 mm behind its mid-plane; the ends of the notch slope over 12 mm.
    // Tolerance: straight edges, round-off.
    const double shelf_area = 0.222 * 0.279 - 0.11 * 0.15 - 0.015 * (0.080 - 0.012);
    CHECK_THAT(board_area(mesh, cabinet.board_index("shelf").value()), WithinRel(shelf_area, 1e-6));
    // Reference: two circles, a window 110 × 150 mm, the notch. Tolerance: as the arcs.
    const double notch = 0.080 - 2 * 0.012 + 2 * std::hypot(0.012, 0.015);
    CHECK_THAT(quality.free_edge_length, WithinRel(pi * 0.26 + 0.52 + notch, 2e-4));
    // Reference: the mesher's own promise, 0.2, less 0.025 for each further attempt, rather than many more elements.
    CHECK(quality.min_scaled_jacobian > 0.15);
}

TEST_CASE("elements turn anticlockwise about their board's normal and lie on its mid-plane", "[mesh][gmsh]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    for (const auto& quad : mesh.quads) {
        const Frame& frame = cabinet.boards[quad.board].frame;
        const auto x = [&](int k) -> Vector3d { return mesh.nodes.col(quad.node[k]); };
        CHECK((x(2) - x(0)).cross(x(3) - x(1)).dot(frame.n) > 0);
        // Reference: the mid-plane. Tolerance: round-off of coordinates below 1 m.
        for (int k = 0; k < 9; ++k) CHECK_THAT(frame.height_of(x(k)), WithinAbs(0, 1e-12));
        // Reference: a middle lies between its corners, nearer to both than they are to each other.
        for (int c = 0; c < 4; ++c) {
            const double side = (x(c) - x((c + 1) % 4)).norm();
            CHECK((x(4 + c) - x(c)).norm() < side);
            CHECK((x(4 + c) - x((c + 1) % 4)).norm() < side);
        }
    }
}

TEST_CASE("the same cabinet gives the same mesh bit for bit", "[mesh][gmsh]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const ShellMesh first = mesh::mesh_shell(cabinet, {0.03});
    (void)mesh::mesh_shell(cabinet, {0.05}); // something else in between
    const ShellMesh second = mesh::mesh_shell(cabinet, {0.03});
    REQUIRE(first.nodes.cols() == second.nodes.cols());
    CHECK((first.nodes.array() == second.nodes.array()).all());
    REQUIRE(first.quads.size() == second.quads.size());
    for (std::size_t q = 0; q < first.quads.size(); ++q) CHECK(first.quads[q].node == second.quads[q].node);
}

TEST_CASE("measures of single elements", "[mesh]")
{
    ShellMesh mesh;
    mesh.nodes.resize(3, 9);
    const auto place = [&](const std::array<Vector2d, 4>& p) {
        for (int c = 0; c < 4; ++c) {
            mesh.nodes.col(c) << p[c], 0;
            mesh.nodes.col(4 + c) << (p[c] + p[(c + 1) % 4]) / 2, 0;
        }
        mesh.nodes.col(8) << (p[0] + p[1] + p[2] + p[3]) / 4, 0;
        mesh.quads = {{{0, 1, 2, 3, 4, 5, 6, 7, 8}, 0, 0}};
    };
    SECTION("parallelogram")
    {
        place({Vector2d(0, 0), Vector2d(2, 0), Vector2d(3, 1), Vector2d(1, 1)});
        const MeshQuality quality = mesh_quality(mesh);
        // Reference: base 2, height 1; sides 2, √2. Tolerance: round-off.
        CHECK_THAT(quality.area, WithinRel(2.0, 1e-12));
        CHECK_THAT(quality.free_edge_length, WithinRel(4 + 2 * std::sqrt(2.0), 1e-12));
        CHECK_THAT(quality.min_scaled_jacobian, WithinRel(1.0, 1e-12));
    }
    SECTION("trapezium")
    {
        place({Vector2d(0, 0), Vector2d(2, 0), Vector2d(1.5, 1), Vector2d(0.5, 1)});
        // Reference: J grows with the width, from 1 at the top to 2 at the foot. Tolerance: round-off.
        CHECK_THAT(scaled_jacobian(mesh, mesh.quads[0]), WithinRel(0.5, 1e-12));
        CHECK_THAT(area(mesh, mesh.quads[0]), WithinRel(1.5, 1e-12));
    }
    SECTION("folded over")
    {
        place({Vector2d(0, 0), Vector2d(2, 0), Vector2d(0.2, 0.2), Vector2d(0, 2)});
        // Reference: the corner at (0.2, 0.2) is re-entrant, so J is negative there.
        CHECK(scaled_jacobian(mesh, mesh.quads[0]) < 0);
    }
}
