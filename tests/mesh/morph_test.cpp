// A mesh carried to a slightly changed cabinet.

#include "mesh/core/morph.h"

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"
#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_random.h"
#include "tests/mesh/morph_cabinets.h"

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <set>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

constexpr double near = 1e-7;      ///< [m] the mesher puts nodes on lines to 1e-8
constexpr double round_off = 1e-9; ///< [m]

/// A mesh before and after, and its nodes by board.
struct Pair
{
    Cabinet from, to;
    ShellMesh mesh, moved;
    std::vector<std::set<int>> nodes;

    Pair(const CabinetPlan& was, const CabinetPlan& is, double size)
        : from(build_cabinet(was)), to(build_cabinet(is)), mesh(mesh::mesh_shell(from, {size})),
          moved(morph(mesh, from, to)), nodes(from.boards.size())
    {
        for (const auto& quad : mesh.quads) nodes[quad.board].insert(quad.node.begin(), quad.node.end());
    }
    [[nodiscard]] Vector3d old_at(int node) const { return mesh.nodes.col(node); }
    [[nodiscard]] Vector3d at(int node) const { return moved.nodes.col(node); }
    [[nodiscard]] bool is_shared(int node) const
    {
        return std::count_if(nodes.begin(), nodes.end(), [node](const auto& set) { return set.contains(node); }) > 1;
    }
};

/// [m], worst over what was looked at.
struct Worst
{
    int count = 0;
    double value = 0;
    void see(double v)
    {
        ++count;
        value = std::max(value, std::abs(v));
    }
};

Worst off_planes(const Pair& p)
{
    Worst worst;
    for (std::size_t b = 0; b < p.nodes.size(); ++b)
        for (const int node : p.nodes[b]) worst.see(p.to.boards[b].frame.height_of(p.at(node)));
    return worst;
}

double distance_to_line(const Junction& junction, const Vector3d& x)
{
    return (junction.to - junction.from).normalized().cross(x - junction.from).norm();
}

/// [m] of a point from the line, in the board's plane.
double across(const Cabinet& cabinet, const Junction& junction, int board, const Vector3d& x)
{
    return cabinet.boards[board].frame.n.cross((junction.to - junction.from).normalized()).dot(x - junction.from);
}

/// Nodes two boards share on a junction's line: from the new line, and those on an end from the new end.
Worst off_lines(const Pair& p)
{
    Worst worst;
    for (std::size_t j = 0; j < p.from.junctions.size(); ++j) {
        const Junction &was = p.from.junctions[j], &is = p.to.junctions[j];
        for (const int node : p.nodes[was.passing]) {
            const Vector3d x = p.old_at(node);
            const double t = (x - was.from).dot((was.to - was.from).normalized());
            if (!p.nodes[was.ending].contains(node) || distance_to_line(was, x) > near || t < -near ||
                t > (was.to - was.from).norm() + near)
                continue;
            worst.see(distance_to_line(is, p.at(node)));
            if ((x - was.from).norm() < near) worst.see((p.at(node) - is.from).norm());
            if ((x - was.to).norm() < near) worst.see((p.at(node) - is.to).norm());
        }
    }
    return worst;
}

/// Corner nodes on the sides of strips, from the sides of the new strips.
Worst off_strip_sides(const Pair& p)
{
    Worst worst;
    for (const auto& quad : p.mesh.quads)
        for (const int j : p.mesh.zones[quad.zone].strips) {
            const Junction &was = p.from.junctions[j], &is = p.to.junctions[j];
            const bool is_passing = quad.board == was.passing;
            const double old_width = is_passing ? was.strip_passing : was.strip_ending;
            const double new_width = is_passing ? is.strip_passing : is.strip_ending;
            for (std::size_t c = 0; c < 4; ++c) {
                const int node = quad.node[c];
                const double y = across(p.from, was, quad.board, p.old_at(node));
                // On a line between boards the limits of both are one node; it follows the first board's.
                if (std::abs(std::abs(y) - old_width) > near || p.is_shared(node)) continue;
                worst.see(across(p.to, is, quad.board, p.at(node)) - std::copysign(new_width, y));
            }
        }
    return worst;
}

/// [m] from the edge of an opening: its core grown by its radius, see opening.h.
double off_rim(const Opening& opening, const Vector2d& p)
{
    const OpeningCore core = opening_core(opening);
    const std::size_t n = core.corners.size();
    double least = 1e300;
    for (std::size_t k = 0; k < n; ++k) {
        const Vector2d a = core.corners[k], u = core.corners[(k + 1) % n] - a;
        const double t = n == 1 ? 0 : std::clamp((p - a).dot(u) / u.squaredNorm(), 0.0, 1.0);
        least = std::min(least, (p - a - t * u).norm());
    }
    return least - core.radius;
}

/// By how much nodes of rims left them.
Worst off_rims(const Pair& p)
{
    Worst worst;
    for (std::size_t b = 0; b < p.from.boards.size(); ++b)
        for (std::size_t o = 0; o < p.from.boards[b].openings.size(); ++o)
            for (const int node : p.mesh.rims[b][o]) {
                const Board &was = p.from.boards[b], &is = p.to.boards[b];
                worst.see(off_rim(is.openings[o], is.frame.to_board(p.at(node))) -
                          off_rim(was.openings[o], was.frame.to_board(p.old_at(node))));
            }
    return worst;
}

/// Middles of sides that were half-way, from half-way.
Worst off_half_way(const Pair& p)
{
    Worst worst;
    for (const auto& quad : p.mesh.quads)
        for (std::size_t c = 0; c < 4; ++c) {
            const int first = quad.node[c], last = quad.node[(c + 1) % 4], middle = quad.node[4 + c];
            if ((p.old_at(middle) - (p.old_at(first) + p.old_at(last)) / 2).norm() < 1e-12)
                worst.see((p.at(middle) - (p.at(first) + p.at(last)) / 2).norm());
        }
    return worst;
}

bool has_same_elements(const ShellMesh& a, const ShellMesh& b)
{
    return std::equal(a.quads.begin(), a.quads.end(), b.quads.begin(), b.quads.end(), [](const auto& p, const auto& q) {
        return p.node == q.node && p.board == q.board && p.zone == q.zone;
    });
}

double largest(const Eigen::Matrix3Xd& d)
{
    return d.cwiseAbs().maxCoeff();
}

} // namespace

TEST_CASE("morph: to the same cabinet nothing moves", "[mesh][morph]")
{
    // Reference: the mesh itself.
    for (const CabinetPlan& plan : {box_with_shelf(), leaning_box(), full_cabinet()}) {
        const Pair p(plan, plan, 0.04);
        // Tolerance: round-off of coordinates below 1 m taken to a line's frame and back.
        CHECK(largest(p.moved.nodes - p.mesh.nodes) < 1e-14);
    }
}

TEST_CASE("morph: every feature arrives where the changed cabinet has it", "[mesh][morph]")
{
    for (const Change& change : changes()) {
        const Pair p(change.plan(0), change.plan(change.size), 0.04);
        CAPTURE(change.name, p.mesh.quads.size());
        CHECK(has_same_elements(p.mesh, p.moved));

        // Reference: planes, lines, ends, strips and rims of the changed cabinet. The counts guard against looking at
        // nothing.
        const Worst planes = off_planes(p), lines = off_lines(p), sides = off_strip_sides(p), rims = off_rims(p);
        CHECK(planes.value < round_off);
        CHECK(lines.count > 100);
        CHECK(lines.value < round_off);
        CHECK(sides.count > 200);
        CHECK(sides.value < round_off);
        CHECK(rims.count > 20);
        CHECK(rims.value < round_off);
        // Reference: what was straight and halved stays so.
        const Worst halves = off_half_way(p);
        CHECK(halves.count > 1000);
        CHECK(halves.value < 1e-12);

        const double before = mesh_quality(p.mesh).min_scaled_jacobian;
        const MeshQuality moved = mesh_quality(p.moved), fresh = mesh_quality(mesh::mesh_shell(p.to, {0.04}));
        // Reference: a new mesh. Tolerance: straight edges agree to round-off; a quadratic side over an arc of 30°
        // misses 1e-4 of the hole, some per cent of the whole, and the arcs are divided a little differently.
        CHECK_THAT(moved.area, WithinRel(fresh.area, 1e-5));
        CHECK_THAT(moved.free_edge_length,
                   WithinRel(fresh.free_edge_length, 1e-4) || Catch::Matchers::WithinAbs(0, 1e-12));
        // The changes are some per cent of an element's side, more beside a hole: 3 mm of about 20 mm.
        CHECK(moved.min_scaled_jacobian > 0.85 * before);
    }
}

TEST_CASE("morph: differences by a change are clean", "[mesh][morph]")
{
    for (const Change& change : changes()) {
        const Cabinet from = build_cabinet(change.plan(0));
        const ShellMesh mesh = mesh::mesh_shell(from, {0.04});
        const auto moved = [&](double s) -> Eigen::Matrix3Xd {
            return morph(mesh, from, build_cabinet(change.plan(s))).nodes - mesh.nodes;
        };
        const double step = 1e-3; // 1e-6 m
        const Eigen::Matrix3Xd up = moved(step), down = moved(-step), half_up = moved(step / 2),
                               half_down = moved(-step / 2);
        CAPTURE(change.name, largest(up));
        CHECK(largest(up) > 1e-7);
        // Reference: there and back. Tolerance: where a line ends on a rim of radius R (34 mm and more) at up to 70°
        // from square it moves by δ tan 70° and curves by δ/(R cos³ 70°) = 7e-4 of that at worst.
        CHECK(largest(up + down) < 7e-4 * largest(up));
        // Reference: that part goes with the square of the step. Tolerance: next terms δ/R and round-off.
        CHECK(largest(up + down - 4 * (half_up + half_down)) < 1e-3 * largest(up + down) + 3e-15);
        // Reference: central differences do not depend on the step. Tolerance: terms of third order (7e-4)², round-off.
        CHECK(largest(up - down - 2 * (half_up - half_down)) < 1e-6 * largest(up));
    }
}

TEST_CASE("morph: random cabinets", "[mesh][morph]")
{
    int n_done = 0;
    for (unsigned seed = 1; seed < 20 && n_done < 5; ++seed) {
        RandomPlan random(seed);
        const CabinetPlan plan = random.make();
        CabinetPlan thicker = plan, thinner = plan;
        thicker.walls[0].layup.plies[0].thickness += 1e-4;
        thinner.walls[0].layup.plies[0].thickness -= 1e-4;
        if (!cabinet_if_any(plan)) continue;
        ++n_done;
        const double size = std::max(0.035, random.element_size());
        const Pair up(plan, thicker, size), down(plan, thinner, size);
        CAPTURE(seed, up.mesh.quads.size());
        // Points merged within 3 mm keep what they are off their lines, so only planes are looked at. Tolerance: the
        // mesher finds ends on rims to 1e-8.
        CHECK(off_planes(up).value < 1e-8);
        CHECK(mesh_quality(up.moved).min_scaled_jacobian > 0.8 * mesh_quality(up.mesh).min_scaled_jacobian);
        // Reference: there and back. Tolerance: δ = 0.1 mm against the least radius of 12 mm.
        const Eigen::Matrix3Xd there = up.moved.nodes - up.mesh.nodes, back = down.moved.nodes - down.mesh.nodes;
        CHECK(largest(there + back) < 1e-2 * largest(there));
        CHECK(largest(there) < 5e-4);
    }
    CHECK(n_done == 5);
}

TEST_CASE("morph: what cannot be carried over is said", "[mesh][morph]")
{
    const Cabinet plain = build_cabinet(box(0.24, 0.30, 0.38, 0.018)), shelved = build_cabinet(box_with_shelf());
    const ShellMesh mesh = mesh::mesh_shell(plain, {0.04});
    CHECK_THROWS_WITH(morph(mesh, plain, shelved), Contains("numbers of boards differ"));
    CHECK_THROWS_AS(morph(mesh, shelved, shelved), DomainError);

    CabinetPlan square = box_with_shelf();
    square.openings[1].shape = OpeningPlan::Shape::Rectangle;
    const ShellMesh shelf_mesh = mesh::mesh_shell(shelved, {0.04});
    CHECK_THROWS_WITH(morph(shelf_mesh, shelved, build_cabinet(square)), Contains("another shape"));

    CabinetPlan off_hole = box_with_shelf(); // the shelf leaves the hole that ends at z = 215 mm
    off_hole.braces[0].at = 0.225;
    CHECK_THROWS_WITH(morph(shelf_mesh, shelved, build_cabinet(off_hole)), Contains("no longer meets"));

    CabinetPlan in_order = box(0.24, 0.30, 0.38, 0.018), passed = in_order; // one shelf goes through the other
    in_order.braces = {shelf("first", 0.12, 0.018), shelf("second", 0.20, 0.018)};
    passed.braces = {shelf("first", 0.27, 0.018), shelf("second", 0.20, 0.018)};
    const Cabinet from = build_cabinet(in_order);
    CHECK_THROWS_WITH(morph(mesh::mesh_shell(from, {0.04}), from, build_cabinet(passed)), Contains("fold over"));
}
