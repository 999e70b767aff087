// Points on the boards of a shell mesh: found where they were made, and nearest places beyond it against plain search.
#include "mesh/cabinet/error.h"
#include "mesh/core/shell_locator.h"
#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_random.h"
#include "tests/mesh/morph_cabinets.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <random>

using namespace stillwall;
using namespace stillwall::mesh_tests;

namespace {

Vector3d place_in_space(const ShellMesh& mesh, const ShellPlace& place)
{
    const auto N = quad9_values(place.r, place.s);
    Vector3d x = Vector3d::Zero();
    for (std::size_t a = 0; a < 9; ++a)
        x += N[static_cast<Eigen::Index>(a)] * mesh.nodes.col(mesh.quads[static_cast<std::size_t>(place.quad)].node[a]);
    return x;
}

/// Places on borders, at corners and inside, none of them special to the rule of the elements.
const double samples[] = {-1, -0.93, -0.31, 0, 0.47, 1};

/// Every sample of every element must be found where it was made.
void check_found(const Cabinet& cabinet, const ShellMesh& mesh)
{
    const ShellLocator locator(cabinet, mesh);
    double off = 0, off_inside = 0;
    int elsewhere = 0, beyond = 0;
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        const int board = mesh.quads[e].board;
        for (double r : samples)
            for (double s : samples) {
                const Vector3d x = place_in_space(mesh, {static_cast<int>(e), r, s, 0});
                const ShellPlace found =
                    locator.nearest(board, x + 0.02 * cabinet.board(board).frame.n); // off the plane: its foot counts
                beyond += found.distance > 0;
                off = std::max(off, (place_in_space(mesh, found) - x).norm());
                if (std::abs(r) == 1 || std::abs(s) == 1) continue;
                elsewhere += found.quad != static_cast<int>(e);
                off_inside = std::max({off_inside, std::abs(found.r - r), std::abs(found.s - s)});
            }
    }
    CHECK(beyond == 0);
    CHECK(elsewhere == 0);
    CHECK(off < 1e-8);         // 1e-7 of an element counts as on it, then it is drawn to its border
    CHECK(off_inside < 1e-10); // Newton to round-off
}

/// Random places around a board, against the nearest of many points on all sides of all elements.
void check_nearest(const Cabinet& cabinet, const ShellMesh& mesh, int board, std::mt19937& random)
{
    const BoardLocator locator(cabinet, mesh, board);
    const Frame& frame = cabinet.board(board).frame;
    Eigen::Matrix2Xd border(2, 0);
    std::vector<Vector2d> points;
    const int n = 60;
    double step = 0;
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        if (mesh.quads[e].board != board) continue;
        for (int k = 0; k < 4; ++k)
            for (int i = 0; i <= n; ++i) {
                const double t = -1 + 2.0 * i / n;
                const double r[] = {t, 1, -t, -1}, s[] = {-1, t, 1, -t};
                points.push_back(frame.to_board(place_in_space(mesh, {static_cast<int>(e), r[k], s[k], 0})));
                if (i > 0) step = std::max(step, (points.back() - points[points.size() - 2]).norm());
            }
    }
    REQUIRE(!points.empty());
    Vector2d low = points[0], high = points[0];
    for (const Vector2d& p : points) low = low.cwiseMin(p), high = high.cwiseMax(p);
    int n_beyond = 0;
    for (int trial = 0; trial < 60; ++trial) {
        Vector2d p;
        for (int k = 0; k < 2; ++k)
            p[k] = low[k] - 0.05 + (high[k] - low[k] + 0.1) * (static_cast<double>(random()) / 4294967296.0);
        const ShellPlace found = locator.nearest(frame.to_space(p)).value();
        const double own = (frame.to_board(place_in_space(mesh, found)) - p).norm();
        CHECK(std::abs(own - found.distance) < 1e-8);
        if (found.distance == 0) continue;
        ++n_beyond;
        double searched = std::numeric_limits<double>::infinity();
        for (const Vector2d& q : points) searched = std::min(searched, (q - p).norm());
        CHECK(found.distance <= searched + 1e-12);       // the samples are on the mesh: none may be nearer
        CHECK(found.distance >= searched - 0.51 * step); // the true nearest is half a step from a sample at most
    }
    CHECK(n_beyond > 10); // the margin alone is a third of the area
}

/// One board of one element.
struct OneElement
{
    Cabinet cabinet;
    ShellMesh mesh;
    OneElement()
    {
        cabinet.boards.resize(1);
        mesh.nodes = Eigen::Matrix3Xd::Zero(3, 9);
        mesh.nodes.topRows<2>() << 0, 0.1, 0.13, -0.02, 0.05, 0.125, 0.06, -0.003, 0.058, //
            0, 0.02, 0.09, 0.07, 0, 0.053, 0.09, 0.037, 0.045;
        mesh.quads = {{{0, 1, 2, 3, 4, 5, 6, 7, 8}, 0, 0}};
    }
};

} // namespace

TEST_CASE("points of a mesh are found in their element", "[mesh][locator]")
{
    for (const CabinetPlan& plan : {box_with_shelf(), leaning_box(), full_cabinet()}) {
        const Cabinet cabinet = build_cabinet(plan);
        check_found(cabinet, mesh::mesh_shell(cabinet, {0.04}));
    }
}

TEST_CASE("points of random cabinets' meshes are found, and the nearest place beyond them", "[mesh][locator]")
{
    std::mt19937 random(5);
    int n_cabinets = 0;
    for (unsigned seed : {1u, 2u, 9u}) { // coarse enough to be quick; the mesher's stress test has more
        RandomPlan plans(seed);
        for (int trial = 0; trial < 4; ++trial) {
            const auto cabinet = cabinet_if_any(plans.make());
            if (!cabinet) continue;
            const ShellMesh mesh = mesh::mesh_shell(*cabinet, {0.06});
            check_found(*cabinet, mesh);
            for (std::size_t b = 0; b < cabinet->boards.size(); b += 2)
                check_nearest(*cabinet, mesh, static_cast<int>(b), random);
            ++n_cabinets;
        }
    }
    CHECK(n_cabinets > 5);
}

TEST_CASE("a skewed element with curved sides is turned round by Newton's method", "[mesh][locator]")
{
    const OneElement one;
    REQUIRE(scaled_jacobian(one.mesh, one.mesh.quads[0]) > 0.1);
    check_found(one.cabinet, one.mesh);
    std::mt19937 random(3);
    check_nearest(one.cabinet, one.mesh, 0, random);
}

TEST_CASE("beyond the mesh the nearest place is that of the side", "[mesh][locator]")
{
    // Reference: two squares of 0.1 m, by hand. Tolerance: Newton's last step in r and s, round-off of 0.1 m in
    // lengths.
    Cabinet cabinet;
    cabinet.boards.resize(2);
    ShellMesh mesh;
    mesh.nodes.resize(3, 15);
    for (int j = 0; j < 3; ++j)
        for (int i = 0; i < 5; ++i) mesh.nodes.col(5 * j + i) = Vector3d(0.05 * i, 0.05 * j, 0);
    for (int c : {0, 2}) mesh.quads.push_back({{c, c + 2, c + 12, c + 10, c + 1, c + 7, c + 11, c + 5, c + 6}, 0, 0});
    const BoardLocator locator(cabinet, mesh, 0);
    const auto check = [&](const Vector3d& p, int quad, double r, double s, double distance) {
        const ShellPlace found = locator.nearest(p).value();
        CHECK(found.quad == quad);
        CHECK(std::abs(found.r - r) < 1e-12);
        CHECK(std::abs(found.s - s) < 1e-12);
        CHECK(std::abs(found.distance - distance) < 1e-14);
    };
    check({0.15, 0.13, 0.01}, 1, 0, 1, 0.03);  // over the upper side
    check({0.23, 0.075, 0}, 1, 1, 0.5, 0.03);  // past the right end
    check({-0.03, -0.04, 0}, 0, -1, -1, 0.05); // at a corner: 3, 4, 5
    check({0.1, 0.02, 0}, 0, 1, -0.6, 0);      // on the common side: the first
    check({0.125, 0.025, -0.3}, 1, -0.5, -0.5, 0);
    CHECK(!BoardLocator(cabinet, mesh, 1).nearest({0, 0, 0}));
    CHECK_THROWS_AS(ShellLocator(cabinet, mesh).nearest(1, {0, 0, 0}), MeshError);
}
