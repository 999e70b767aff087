#include "viz/internal/vtu.h"

#include "viz/internal/whole_file.h"

#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkDoubleArray.h>
#include <vtkFieldData.h>
#include <vtkFloatArray.h>
#include <vtkIntArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkStringArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridWriter.h>

#include <set>
#include <sstream>

namespace stillwall::viz {
namespace {

/// Single spaces; a number behind a name that is already taken (viewers tell arrays apart by name).
std::string array_name(const std::string& title, std::set<std::string>& taken)
{
    std::istringstream words(title);
    std::string name, word;
    while (words >> word) name += (name.empty() ? "" : " ") + word;
    if (name.empty()) name = "mode";
    std::string unique = name;
    for (int i = 2; !taken.insert(unique).second; ++i) unique = name + " (" + std::to_string(i) + ")";
    return unique;
}

void add_cells(const Scene& scene, vtkUnstructuredGrid* grid)
{
    vtkNew<vtkCellArray> cells;
    vtkNew<vtkIntArray> boards, zones;
    boards->SetName("board");
    zones->SetName("zone");
    for (const ShellMesh::Quad& quad : scene.mesh->quads) {
        // VTK's biquadratic quad numbers its nodes as shell_mesh.h does: corners, mid-sides, centre.
        cells->InsertNextCell(9);
        for (const int node : quad.node) cells->InsertCellPoint(node);
        boards->InsertNextValue(quad.board);
        zones->InsertNextValue(quad.zone);
    }
    grid->SetCells(VTK_BIQUADRATIC_QUAD, cells);
    grid->GetCellData()->AddArray(boards);
    grid->GetCellData()->AddArray(zones);
}

} // namespace

void write_vtu_file(const Scene& scene, const std::vector<ModeFrame>& frames, const std::filesystem::path& file)
{
    const vtkIdType n_nodes = scene.mesh->n_nodes();
    vtkNew<vtkDoubleArray> coordinates;
    coordinates->SetNumberOfComponents(3);
    coordinates->SetNumberOfTuples(n_nodes);
    std::copy_n(scene.mesh->nodes.data(), scene.mesh->nodes.size(), coordinates->GetPointer(0));
    vtkNew<vtkPoints> points;
    points->SetData(coordinates);
    vtkNew<vtkUnstructuredGrid> grid;
    grid->SetPoints(points);
    add_cells(scene, grid);

    std::set<std::string> taken;
    for (const ModeFrame& frame : frames) {
        vtkNew<vtkFloatArray> vectors; // single precision: for looking at, half the bytes
        vectors->SetName(array_name(frame.title, taken).c_str());
        vectors->SetNumberOfComponents(3);
        vectors->SetNumberOfTuples(n_nodes);
        std::copy_n(frame.displacement.data(), frame.displacement.size(), vectors->GetPointer(0));
        grid->GetPointData()->AddArray(vectors);
    }
    vtkNew<vtkStringArray> names;
    names->SetName("board names");
    for (const std::string& name : scene.board_names) names->InsertNextValue(name);
    grid->GetFieldData()->AddArray(names);

    vtkNew<vtkXMLUnstructuredGridWriter> writer;
    writer->SetInputData(grid);
    writer->SetDataModeToAppended();
    writer->EncodeAppendedDataOff();
    writer->SetCompressorTypeToZLib();
    write_whole_file(file, [&](const std::string& name) {
        writer->SetFileName(name.c_str());
        return writer->Write() == 1 && writer->GetErrorCode() == 0;
    });
}

} // namespace stillwall::viz
