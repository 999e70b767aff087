// Rims, ribs, clamped edges, and what the mesher refuses.

#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_cabinets.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("rims: nodes in order on the curve", "[mesh][gmsh]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    REQUIRE(mesh.rims.size() == cabinet.boards.size());
    const int front = cabinet.board_index("front").value();
    REQUIRE(mesh.rims[front].size() == 2);
    for (std::size_t o = 0; o < 2; ++o) {
        const Opening& opening = cabinet.boards[front].openings[o];
        const auto& rim = mesh.rims[front][o];
        const double radius = opening.width / 2;
        // Reference: at least eight sides of three nodes, ends shared; twelve where the hole spans several elements.
        CHECK(rim.size() % 2 == 0);
        CHECK(rim.size() >= (opening.width > 0.06 ? 24U : 16U));
        double turned = 0;
        for (std::size_t k = 0; k < rim.size(); ++k) {
            const Vector2d p = cabinet.boards[front].frame.to_board(mesh.nodes.col(rim[k])) - opening.centre;
            const Vector2d q =
                cabinet.boards[front].frame.to_board(mesh.nodes.col(rim[(k + 1) % rim.size()])) - opening.centre;
            // Reference: the circle. Tolerance: where a line ends on the rim, bisection to 1e-9 of the line.
            CHECK_THAT(p.norm(), WithinAbs(radius, 1e-8));
            const double step = std::atan2(p.x() * q.y() - p.y() * q.x(), p.dot(q));
            CHECK(step > 0);
            turned += step;
        }
        // Reference: once round. Tolerance: round-off.
        CHECK_THAT(turned, WithinRel(2 * std::acos(-1.0), 1e-9));
    }
    const int shelf = cabinet.board_index("shelf").value();
    double around = 0;
    const auto& rim = mesh.rims[shelf][0];
    for (std::size_t k = 0; k < rim.size(); ++k)
        around += (mesh.nodes.col(rim[k]) - mesh.nodes.col(rim[(k + 1) % rim.size()])).norm();
    // Reference: window 110 × 150 mm. Tolerance: round-off.
    CHECK_THAT(around, WithinRel(0.52, 1e-9));
}

TEST_CASE("a rib's edges follow its line from end to end", "[mesh][gmsh]")
{
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    RibPlan rib;
    rib.name = "rib";
    rib.board = "left";
    rib.y1 = 0.08;
    rib.z1 = 0.10;
    rib.y2 = 0.22;
    rib.z2 = 0.28;
    rib.width = 0.02;
    rib.height = 0.03;
    plan.ribs = {rib};
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    REQUIRE(mesh.rib_edges.size() == 1);
    const Board& left = cabinet.boards[cabinet.board_index("left").value()];
    const Vector3d a = left.frame.to_space(cabinet.ribs[0].from), b = left.frame.to_space(cabinet.ribs[0].to);
    double length = 0;
    for (const auto& edge : mesh.rib_edges[0]) {
        length += (mesh.nodes.col(edge[2]) - mesh.nodes.col(edge[0])).norm();
        for (const int node : edge) {
            const Vector3d x = mesh.nodes.col(node);
            const double t = (x - a).dot(b - a) / (b - a).squaredNorm();
            // Reference: the rib's line. Tolerance: points closer than 2 mm are merged.
            CHECK_THAT((x - a - t * (b - a)).norm(), WithinAbs(0, 2e-3));
        }
        // Reference: a middle node halves its edge. Tolerance: round-off.
        CHECK_THAT((mesh.nodes.col(edge[1]) - (mesh.nodes.col(edge[0]) + mesh.nodes.col(edge[2])) / 2).norm(),
                   WithinAbs(0, 1e-12));
    }
    // Reference: distance of the rib's ends. Tolerance: two merges of 2 mm over 228 mm, squared sines: below 1e-3.
    CHECK_THAT(length, WithinRel((b - a).norm(), 1e-3));
}

TEST_CASE("a clamped edge is all nodes on the line between its two boards", "[mesh][gmsh]")
{
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    SupportPlan support;
    support.name = "wall mount";
    support.is_clamped_edge = true;
    support.board = "back";
    support.neighbour = "bottom";
    plan.supports = {support};
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    REQUIRE(mesh.clamped_nodes.size() == 1);
    int on_line = 0;
    for (int k = 0; k < mesh.n_nodes(); ++k)
        // Reference: the mid-planes meet at y = 291 mm, z = 9 mm. Tolerance: round-off.
        if (std::abs(mesh.nodes(1, k) - 0.291) < 1e-9 && std::abs(mesh.nodes(2, k) - 0.009) < 1e-9) ++on_line;
    CHECK(static_cast<int>(mesh.clamped_nodes[0].size()) == on_line);
    CHECK(on_line >= 9);
    for (const int node : mesh.clamped_nodes[0]) CHECK_THAT(mesh.nodes(1, node), WithinAbs(0.291, 1e-9));
}

TEST_CASE("what cannot be meshed is said", "[mesh][gmsh]")
{
    Cabinet cabinet = build_cabinet(box_with_shelf());
    CHECK_THROWS_AS(mesh::mesh_shell(cabinet, {0.0}), MeshError);
    CHECK_THROWS_AS(mesh::mesh_shell(cabinet, {std::nan("")}), MeshError);

    // A shelf cut too small, whose joints were lost, hangs loose.
    const int shelf = cabinet.board_index("shelf").value();
    const Vector2d middle = cabinet.boards[shelf].openings[0].centre;
    for (Vector2d& corner : cabinet.boards[shelf].outline) corner = middle + 0.75 * (corner - middle);
    std::erase_if(cabinet.junctions, [&](const Junction& j) { return j.ending == shelf || j.passing == shelf; });
    CHECK_THROWS_WITH(mesh::mesh_shell(cabinet, {0.04}), Contains("'shelf'"));
}
