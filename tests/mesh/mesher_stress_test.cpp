// Random cabinets: tapered, leaning, L-shaped and bevelled, with up to four braces that cross, slant, end in
// mid-board and have windows, holes close to lines and to each other.

#include "mesh/cabinet/opening.h"
#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_random.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <map>

using namespace stillwall;
using namespace stillwall::mesh_tests;

namespace {

/// Most that notches in front of other boards' openings can take from a board.
double notch_allowance(const Cabinet& cabinet, int board)
{
    double sum = 0;
    for (const Junction& junction : cabinet.junctions) {
        if (junction.ending != board) continue;
        for (const Opening& opening : cabinet.boards[junction.passing].openings)
            sum += junction.overlap_ending * std::hypot(opening.width, opening.height);
    }
    return sum;
}

void check_boards(const Cabinet& cabinet, const ShellMesh& mesh)
{
    std::vector<double> meshed(cabinet.boards.size(), 0);
    std::map<std::pair<int, int>, int> uses; // (board, mid-side node)
    for (const auto& quad : mesh.quads) {
        meshed[quad.board] += area(mesh, quad);
        for (int c = 0; c < 4; ++c) ++uses[{quad.board, quad.node[4 + c]}];
    }
    for (int b = 0; b < static_cast<int>(cabinet.boards.size()); ++b) {
        double whole = signed_area(cabinet.boards[b].outline);
        const double outline = whole;
        for (const Opening& opening : cabinet.boards[b].openings) whole -= opening_area(opening);
        CAPTURE(cabinet.boards[b].name);
        // Reference: the board's face less its openings, and less the notches. Tolerance: quadratic sides on arcs and
        // points merged within 3 mm, together below 0.4 % of the outline.
        CHECK(meshed[b] < whole + 4e-3 * outline);
        CHECK(meshed[b] > whole - notch_allowance(cabinet, b) - 4e-3 * outline);
    }
    // Reference: in one board a side belongs to one element or to two.
    CHECK(std::all_of(uses.begin(), uses.end(), [](const auto& use) { return use.second <= 2; }));
}

} // namespace

TEST_CASE("random cabinets are meshed", "[mesh][gmsh][stress]")
{
    int n_meshed = 0;
    for (unsigned seed = 0; seed < 24; ++seed) {
        RandomPlan random(seed);
        const auto cabinet = cabinet_if_any(random.make());
        const double h = std::max(0.03, random.element_size());
        if (!cabinet) continue;
        CAPTURE(seed, h);
        ShellMesh mesh;
        REQUIRE_NOTHROW(mesh = mesh::mesh_shell(*cabinet, {h}));
        ++n_meshed;
        check_boards(*cabinet, mesh);
        // Reference: the least that is accepted after all attempts.
        CHECK(mesh_quality(mesh).min_scaled_jacobian >= 0.05);
    }
    // Reference: counted once; fewer would mean that the builder refuses what it took before.
    CHECK(n_meshed >= 15);
}
