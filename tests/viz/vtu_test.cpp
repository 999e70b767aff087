#include "tests/viz/box_scene.h"

#include <catch2/catch.hpp>

#include <vtkCell.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkDataArray.h>
#include <vtkFieldData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkStringArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

using namespace stillwall;
using namespace stillwall::viz;
using namespace stillwall::viz::test;
namespace fs = std::filesystem;

TEST_CASE("a viewer file gives back the mesh, the boards and the modes", "[viz][vtu]")
{
    const BoxScene box;
    const auto first = waves_on_boards(box, {{{1, 1, .5}, {1, 2, 1}, {}, {}, {}, {}, {}}});
    const auto second = waves_on_boards(box, {{{}, {}, {}, {2, 1, 1}, {}, {}, {1, 1, -.5}}});
    fs::create_directories(STILLWALL_ACTUAL);
    const fs::path file = fs::path(STILLWALL_ACTUAL) / "box.vtu";
    fs::remove(file);
    write_vtu(box.scene, {{"mode 1   212 Hz ± 6 %", "", first}, {"mode 1   212 Hz ± 6 %", "", second}, {"", "", first}},
              file);

    vtkNew<vtkXMLUnstructuredGridReader> reader;
    reader->SetFileName(file.c_str());
    reader->Update();
    vtkUnstructuredGrid* grid = reader->GetOutput();
    REQUIRE(grid->GetNumberOfPoints() == box.mesh.n_nodes());
    REQUIRE(grid->GetNumberOfCells() == static_cast<vtkIdType>(box.mesh.quads.size()));

    vtkDataArray* boards = grid->GetCellData()->GetArray("board");
    REQUIRE(boards != nullptr);
    for (vtkIdType q = 0; q < grid->GetNumberOfCells(); ++q) {
        const ShellMesh::Quad& quad = box.mesh.quads[static_cast<std::size_t>(q)];
        REQUIRE(grid->GetCellType(q) == VTK_BIQUADRATIC_QUAD);
        REQUIRE(boards->GetTuple1(q) == quad.board);
        for (vtkIdType a = 0; a < 9; ++a)
            REQUIRE(grid->GetCell(q)->GetPointId(static_cast<int>(a)) == quad.node[static_cast<std::size_t>(a)]);
    }
    // Two modes with one title must stay two arrays.
    vtkDataArray* one = grid->GetPointData()->GetArray("mode 1 212 Hz ± 6 %");
    vtkDataArray* two = grid->GetPointData()->GetArray("mode 1 212 Hz ± 6 % (2)");
    REQUIRE(one != nullptr);
    REQUIRE(two != nullptr);
    CHECK(grid->GetPointData()->GetArray("mode") != nullptr);
    for (int i = 0; i < box.mesh.n_nodes(); ++i) {
        for (int c = 0; c < 3; ++c) {
            REQUIRE(grid->GetPoint(i)[c] == box.mesh.nodes(c, i));
            // Tolerance: the arrays are in single precision.
            REQUIRE(one->GetComponent(i, c) == static_cast<float>(first(c, i)));
            REQUIRE(two->GetComponent(i, c) == static_cast<float>(second(c, i)));
        }
    }
    auto* names = vtkStringArray::SafeDownCast(grid->GetFieldData()->GetAbstractArray("board names"));
    REQUIRE(names != nullptr);
    REQUIRE(names->GetNumberOfValues() == 7);
    CHECK(names->GetValue(6) == "shelf");
}

TEST_CASE("a viewer file that cannot be written leaves nothing behind", "[viz][vtu]")
{
    const BoxScene box;
    const fs::path file = fs::path(STILLWALL_ACTUAL) / "no_such_folder" / "box.vtu";
    CHECK_THROWS_WITH(write_vtu(box.scene, {}, file), Catch::Matchers::Contains("box.vtu: cannot be written"));
    CHECK_FALSE(fs::exists(file.parent_path()));
}
