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

TEST_CASE("a window near a wall keeps its land at every fineness", "[mesh][land]")
{
    // Rounded windows a few millimetres from the wall that a thin shelf is glued to: at coarse sizes the land between
    // window and joint used to be taken out of the mesh (3292 of 23657 mm² at 6 mm in a shelf of 6 mm). Reference: the
    // shelf less its window, by the drawing. Tolerance: quadratic arcs of 45° leave out 7.8e-4 of the corners' circle
    // (by hand), 1 mm², 3e-5 of the shelf.
    for (const double land_mm : {2.0, 4.0, 6.0})
        for (const double shelf_mm : {6.0, 12.0, 22.0}) {
            CabinetPlan plan =
                box_plan({.width = 230, .height = 360, .depth = 270, .front = 9, .back = 18, .side = 9, .lid = 18});
            BracePlan shelf;
            shelf.name = "shelf";
            shelf.at = 180 * mm;
            shelf.layup = board_of(shelf_mm);
            plan.braces = {shelf};
            OpeningPlan window;
            window.name = "window";
            window.board = "shelf";
            window.shape = OpeningPlan::Shape::RoundedRectangle;
            window.width = (230 - 2 * 9 - 2 * land_mm) * mm;
            window.height = 120 * mm;
            window.corner_radius = 20 * mm;
            plan.openings = {window};
            const Cabinet cabinet = build_cabinet(plan);
            const int index = cabinet.board_index("shelf").value();
            const Board& board = cabinet.board(index);
            const double wanted = signed_area(board.outline) - opening_area(board.openings[0]);
            for (const double size_mm : {80.0, 50.0}) {
                CAPTURE(land_mm, shelf_mm, size_mm);
                const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = size_mm * mm});
                double covered = 0;
                for (const ShellMesh::Quad& quad : mesh.quads)
                    if (quad.board == index) covered += area(mesh, quad);
                CHECK_THAT(covered, WithinRel(wanted, 5e-5));
            }
        }
}
