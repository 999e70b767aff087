#include "mesh/gmsh/outer_mesher.h"

#include "mesh/cabinet/error.h"
#include "mesh/gmsh/internal/bent_mesh.h"
#include "mesh/gmsh/internal/outer_facets.h"
#include "mesh/gmsh/internal/patch.h"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <utility>

namespace stillwall::mesh {
namespace {

void check(const OuterMeshOptions& options)
{
    if (!(options.element_size >= 2e-3) || options.element_size > 10)
        throw MeshError(fmt::format("element size must lie between 2 mm and 10 m, got {} m", options.element_size));
    if (options.source_size != 0 && (!(options.source_size >= 2e-3) || options.source_size > 10))
        throw MeshError(fmt::format("element size beside sources must be 0 or lie between 2 mm and 10 m, got {} m",
                                    options.source_size));
    if (options.per_circle < 8 || options.per_circle > 400)
        throw MeshError(fmt::format("facets round a cone must lie between 8 and 400, got {}", options.per_circle));
}

/// Every side is used once each way.
void check_closed(const OuterMesh& mesh)
{
    std::map<std::pair<int, int>, int> uses;
    for (const OuterMesh::Face& face : mesh.faces) {
        const std::size_t n = face.corner[3] < 0 ? 3 : 4;
        for (std::size_t c = 0; c < n; ++c) ++uses[{face.corner[c], face.corner[(c + 1) % n]}];
    }
    const bool is_closed = std::all_of(uses.begin(), uses.end(), [&](const auto& side) {
        return side.second == 1 && uses.count({side.first.second, side.first.first}) == 1;
    });
    if (!is_closed) throw MeshError("the outside could not be meshed: its surface is not closed");
}

} // namespace

OuterMesh mesh_outer(const Cabinet& cabinet, const OuterMeshOptions& options)
{
    check(options);
    if (cabinet.facets) return of_curved(cabinet, mesh_outer(cabinet.facets->flat, options));
    OuterLayout layout = lay_out(cabinet, options);
    std::vector<std::vector<Facet>> facets(layout.regions.size());
    std::vector<const OuterRegion*> rest;
    std::vector<std::size_t> places;
    for (std::size_t r = 0; r < layout.regions.size(); ++r) {
        if (auto regular = regular_facets(layout.regions[r], layout.vertices)) {
            facets[r] = std::move(*regular);
            continue;
        }
        rest.push_back(&layout.regions[r]);
        places.push_back(r);
    }
    if (!rest.empty()) {
        const GmshSession session;
        auto meshed = facets_by_gmsh(cabinet, rest, layout.sizes, layout.vertices);
        for (std::size_t k = 0; k < places.size(); ++k) facets[places[k]] = std::move(meshed[k]);
    }
    OuterMesh mesh;
    for (std::size_t r = 0; r < facets.size(); ++r) {
        const OuterRegion& region = layout.regions[r];
        for (const Facet& facet : facets[r]) mesh.faces.push_back({facet, region.on, region.board, region.opening});
    }
    mesh.vertices = std::move(layout.vertices);
    check_closed(mesh);
    return mesh;
}

} // namespace stillwall::mesh
