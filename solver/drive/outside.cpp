#include "solver/drive/outside.h"

#include "mesh/cabinet/error.h"
#include "solver/drive/skin.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Face = OuterMesh::Face;

bool lies_on(const OuterMesh& mesh, const Face& face, const OuterPlane& plane)
{
    constexpr double touching = 1e-6; // [m]
    for (const int c : face.corner) {
        if (c >= 0 && std::abs((mesh.vertices[static_cast<std::size_t>(c)] - plane.point).dot(plane.normal)) > touching)
            return false;
    }
    return true;
}

OuterMesh without_contact(const OuterMesh& mesh, const std::optional<OuterPlane>& plane)
{
    OuterMesh open = mesh;
    if (plane) std::erase_if(open.faces, [&](const Face& face) { return lies_on(mesh, face, *plane); });
    return open;
}

/// One source's normal velocity: its volume velocity spread over its facets.
Eigen::VectorXd source_shape(const OuterMesh& mesh, const Eigen::VectorXd& area, const SourceModel& model)
{
    Eigen::VectorXd shape = Eigen::VectorXd::Zero(area.size());
    double total = 0;
    for (std::size_t i = 0; i < mesh.faces.size(); ++i) {
        const Face& face = mesh.faces[i];
        if (face.on != Face::On::Source || face.board != model.source.board || face.opening != model.source.opening)
            continue;
        shape[static_cast<Index>(i)] = 1;
        total += area[static_cast<Index>(i)];
    }
    if (!(total > 0)) throw MeshError(fmt::format("'{}' has no facet on the outer surface", model.source.name));
    return shape * (model.cone ? model.area : 1.0) / total;
}

} // namespace

ShapeColumns shape_columns(const Cabinet& cabinet, Index n_walls, std::size_t n_sources)
{
    ShapeColumns columns{n_walls, static_cast<Index>(n_sources), {}};
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        if (cabinet.boards[b].kind == Board::Kind::Wall) columns.boards.push_back(static_cast<int>(b));
    return columns;
}

std::vector<RadiatingLevel> radiating_levels(const Cabinet& cabinet, const SoundMeshes& meshes,
                                             const Structure& structure, const MatrixXd& V,
                                             const std::vector<SourceModel>& sources,
                                             const std::optional<OuterPlane>& plane)
{
    const ShapeColumns columns = shape_columns(cabinet, V.cols(), sources.size());
    std::vector<RadiatingLevel> levels;
    for (std::size_t l = 0; l < meshes.outer.size(); ++l) {
        const OuterMesh mesh = without_contact(meshes.outer[l], plane);
        std::vector<PanelCorners> corners;
        for (const Face& face : mesh.faces) corners.push_back(face.corner);
        RadiatingLevel level{make_panel_surface(mesh.vertices, corners), {}, meshes.outer_top[l]};
        const Eigen::VectorXd area = areas(level.surface);
        level.shapes = MatrixXd::Zero(level.surface.size(), columns.size());
        level.shapes.leftCols(V.cols()) = outer_motion(cabinet, meshes.shell, structure, mesh) * V;
        for (std::size_t s = 0; s < sources.size(); ++s)
            level.shapes.col(V.cols() + static_cast<Index>(s)) = source_shape(mesh, area, sources[s]);
        for (std::size_t b = 0; b < columns.boards.size(); ++b) {
            for (std::size_t i = 0; i < mesh.faces.size(); ++i) {
                const auto row = static_cast<Index>(i);
                if (mesh.faces[i].board == columns.boards[b])
                    level.shapes.row(row).segment(columns.of_board(b), V.cols()) = level.shapes.row(row).head(V.cols());
            }
        }
        levels.push_back(std::move(level));
    }
    return levels;
}

} // namespace stillwall::solver
