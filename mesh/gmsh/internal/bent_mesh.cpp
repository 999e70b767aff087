#include "mesh/gmsh/internal/bent_mesh.h"

#include "mesh/cabinet/curved.h"
#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace stillwall::mesh {

ShellMesh bent_mesh(const Cabinet& cabinet, ShellMesh mesh)
{
    const FacetedCabinet& facets = *cabinet.facets;
    const auto bent = [&](int board) { return facets.board[static_cast<std::size_t>(board)]; };
    std::vector<std::set<int>> boards(static_cast<std::size_t>(mesh.n_nodes()));
    for (ShellMesh::Quad& quad : mesh.quads) {
        quad.board = bent(quad.board);
        for (const int node : quad.node) boards[static_cast<std::size_t>(node)].insert(quad.board);
    }
    for (std::size_t k = 0; k < boards.size(); ++k) {
        const auto column = static_cast<Eigen::Index>(k);
        const std::vector<int> on(boards[k].begin(), boards[k].end());
        mesh.nodes.col(column) = on_mid_surfaces(cabinet, mesh.nodes.col(column), on);
    }
    constexpr double folded = 1e-3;
    for (const ShellMesh::Quad& quad : mesh.quads)
        if (!(scaled_jacobian(mesh, quad) > folded))
            throw MeshError(fmt::format("board '{}' has an element too thin to be bent; another accuracy, or a joint a "
                                        "little elsewhere, may do",
                                        cabinet.board(quad.board).name));
    for (ShellMesh::Zone& zone : mesh.zones) {
        zone.board = bent(zone.board);
        std::vector<int> strips;
        for (const int j : zone.strips)
            if (const int own = facets.junction[static_cast<std::size_t>(j)]; own >= 0) strips.push_back(own);
        zone.strips = std::move(strips);
    }
    std::vector<std::vector<std::vector<int>>> rims;
    for (const int first : facets.first) rims.push_back(std::move(mesh.rims[static_cast<std::size_t>(first)]));
    mesh.rims = std::move(rims);
    return mesh;
}

AirMesh of_curved(const Cabinet& cabinet, AirMesh mesh)
{
    for (AirMesh::Face& face : mesh.faces)
        if (face.board >= 0) face.board = cabinet.facets->board[static_cast<std::size_t>(face.board)];
    return mesh;
}

OuterMesh of_curved(const Cabinet& cabinet, OuterMesh mesh)
{
    for (OuterMesh::Face& face : mesh.faces)
        if (face.board >= 0) face.board = cabinet.facets->board[static_cast<std::size_t>(face.board)];
    return mesh;
}

} // namespace stillwall::mesh
