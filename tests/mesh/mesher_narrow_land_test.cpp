// A hole close to a brace: the land between them must stay in the mesh.

#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"
#include "mesh/gmsh/mesher.h"
#include "tests/mesh/build_fixture.h"

using namespace build_fixture;

TEST_CASE("a hole near a brace keeps its land at every fineness", "[mesh][land]")
{
    // A shelf of 12 mm at 228 under a hole whose edge is 4 mm over its upper face: at coarse sizes the two used to
    // become one. Reference: the front less its hole, by the drawing. Tolerance: quadratic arcs leave out up to 2e-4 of
    // the hole, a twentieth of the front; measured 9e-6.
    for (const double land_mm : {4.0, 8.0, 20.0}) {
        CabinetPlan plan =
            box_plan({.width = 230, .height = 360, .depth = 270, .front = 18, .back = 15, .side = 15, .lid = 15});
        BracePlan shelf;
        shelf.name = "shelf";
        shelf.at = (238 - land_mm - 6) * mm;
        shelf.layup = board_of(12);
        plan.braces = {shelf};
        OpeningPlan hole;
        hole.name = "tweeter";
        hole.board = "front";
        hole.width = hole.height = 74 * mm;
        hole.x = 115 * mm;
        hole.z = 275 * mm;
        hole.insert.kind = InsertPlan::Kind::Driver;
        hole.insert.mass = 0.45;
        plan.openings = {hole};
        const Cabinet cabinet = build_cabinet(plan);
        const Board& front = cabinet.board(cabinet.board_index("front").value());
        const double wanted = signed_area(front.outline) - opening_area(front.openings[0]);
        for (const double size_mm : {90.0, 60.0, 40.0, 25.0}) {
            CAPTURE(land_mm, size_mm);
            const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = size_mm * mm});
            double covered = 0;
            for (const ShellMesh::Quad& quad : mesh.quads)
                if (quad.board == cabinet.board_index("front")) covered += area(mesh, quad);
            CHECK_THAT(covered, WithinRel(wanted, 2e-5));
        }
    }
}
