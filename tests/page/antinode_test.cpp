#include "solver/modes/antinode.h"
#include "tests/page/one_board.h"

#include <catch2/catch.hpp>

using namespace stillwall;
using Catch::Matchers::WithinAbs;

TEST_CASE("an antinode is told from the edges of the board as sawn")
{
    const ShellMesh mesh = test::one_element();
    Eigen::Matrix3Xd shape = Eigen::Matrix3Xd::Zero(3, 9);
    shape(1, 8) = -2; // the middle, outwards
    shape(0, 3) = 5;  // along the board: does not count
    const auto found = solver::antinodes(test::front_board(), mesh, shape);
    REQUIRE(found.size() == 1);
    // Reference: by hand, the middle of 200 × 300 mm with 18 mm more at the left. Tolerance: round-off.
    CHECK_THAT(found[0].from[0].distance, WithinAbs(0.118, 1e-12));
    CHECK_THAT(found[0].from[1].distance, WithinAbs(0.150, 1e-12));
    CHECK_THAT(found[0].motion, WithinAbs(1, 1e-12));
    CHECK(std::string(found[0].from[0].edge) == "left");
    CHECK(std::string(found[0].from[1].edge) == "bottom");
}

TEST_CASE("boards that move less than half as far have no antinode told")
{
    Cabinet cabinet = test::front_board();
    ShellMesh mesh = test::one_element();
    // Two more boards of the same element, behind.
    for (const int board : {1, 2}) {
        cabinet.boards.push_back(cabinet.boards[0]);
        ShellMesh::Quad quad = mesh.quads[0];
        quad.board = board;
        for (int& node : quad.node) node += 9 * board;
        mesh.quads.push_back(quad);
    }
    mesh.nodes = mesh.nodes.replicate(1, 3).eval();
    Eigen::Matrix3Xd shape = Eigen::Matrix3Xd::Zero(3, 27);
    shape(1, 8) = 0.45;
    shape(1, 9 + 8) = 1;
    shape(1, 18 + 8) = -0.6;
    const auto found = solver::antinodes(cabinet, mesh, shape);
    REQUIRE(found.size() == 2);
    // Reference: by hand; outwards is −y. Tolerance: round-off.
    CHECK(found[0].board == 1);
    CHECK_THAT(found[0].motion, WithinAbs(-1, 1e-12));
    CHECK(found[1].board == 2);
    CHECK_THAT(found[1].motion, WithinAbs(0.6, 1e-12));
}

TEST_CASE("of mirrored points the first in the mesh counts, whatever round-off says")
{
    Eigen::Matrix3Xd shape = Eigen::Matrix3Xd::Zero(3, 9);
    shape(1, 7) = -1;
    shape(1, 5) = 1 + 1e-9;
    const auto found = solver::antinodes(test::front_board(), test::one_element(), shape);
    REQUIRE(found.size() == 1);
    // Reference: node 5 stands before node 7 in the element. Tolerance: none, a place of the mesh.
    CHECK(found[0].at.x() == 0.2);
}

TEST_CASE("a shape at rest has no antinode")
{
    CHECK(solver::antinodes(test::front_board(), test::one_element(), Eigen::Matrix3Xd::Zero(3, 9)).empty());
}
