#include "mesh/cabinet/opening.h"
#include "mesh/gmsh/internal/nine_node.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall::mesh {

namespace {

constexpr double area_tolerance = 2e-3; ///< quadratic sides follow an arc of 45° to 2e-4; the rest are merged points

std::string quoted(const Board& board)
{
    return "board '" + board.name + "'";
}

/// Most [m²] that a board loses in front of openings of the boards it ends on.
double in_front_of_openings(const Cabinet& cabinet, const Layout& layout, int board)
{
    double sum = 0;
    for (std::size_t j = 0; j < cabinet.junctions.size(); ++j) {
        const Junction& junction = cabinet.junctions[j];
        if (!ends_at(junction, board)) continue;
        for (const Span& s : layout.junctions[j].open[0])
            sum += (s.to - s.from) * (junction.to - junction.from).norm() *
                   std::max(junction.overlap_ending, junction.strip_ending);
    }
    return sum;
}

/// Area the openings leave of the outline, less the strip in front of another board's opening.
void check_areas(const ShellMesh& mesh, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout,
                 const Sizes& sizes)
{
    const double m2 = 1 / (sizes.scale * sizes.scale); // true ones per drawn one
    const std::size_t n = cabinet.boards.size();
    std::vector<double> meshed(n, 0), drawn(n, 0), all(n, 0);
    for (const ShellMesh::Quad& quad : mesh.quads) meshed[quad.board] += area(mesh, quad);
    for (const Face& face : drawing.faces) {
        all[face.board] += drawing.face_area(face);
        if (!face.is_void) drawn[face.board] += drawing.face_area(face);
    }
    for (std::size_t b = 0; b < n; ++b) {
        double outline = 0;
        const auto& p = cabinet.boards[b].outline;
        for (std::size_t k = 0; k < p.size(); ++k) outline += cross(p[k], p[(k + 1) % p.size()]) / 2;
        if (std::abs(all[b] - outline) > area_tolerance * outline)
            throw MeshError(fmt::format("{}: its faces cover {:.6f} m² of an outline of {:.6f} m²",
                                        quoted(cabinet.boards[b]), m2 * all[b], m2 * outline));
        // A land narrower than what is merged lets a hole swallow the joint beside it.
        double holes = 0;
        for (const Opening& opening : cabinet.boards[b].openings) holes += opening_area(opening);
        const double lost = all[b] - drawn[b] - holes, slack = 2 * area_tolerance * outline;
        if (lost < -slack || lost > slack + in_front_of_openings(cabinet, layout, static_cast<int>(b)))
            throw MeshError(fmt::format("{}: its openings take {:.6f} m² out of the mesh, they have {:.6f} m²; a hole "
                                        "lies too near to a brace or an edge",
                                        quoted(cabinet.boards[b]), m2 * (all[b] - drawn[b]), m2 * holes));
        if (std::abs(meshed[b] - drawn[b]) > area_tolerance * outline)
            throw MeshError(fmt::format("{}: its elements cover {:.6f} m², {:.6f} m² were wanted",
                                        quoted(cabinet.boards[b]), m2 * meshed[b], m2 * drawn[b]));
    }
}

/// Edges of the drawing that bound one face only are the free edges.
void check_free_edges(const ShellMesh& mesh, const Drawing& drawing, const Sizes& sizes)
{
    std::vector<int> uses(drawing.edges.size(), 0);
    for (const Face& face : drawing.faces) {
        if (face.is_void) continue;
        for (const auto& loop : face.loops)
            for (const HalfEdge h : loop) ++uses[h / 2];
    }
    double wanted = 0;
    for (std::size_t e = 0; e < uses.size(); ++e)
        if (uses[e] == 1) wanted += drawing.length(static_cast<int>(e));
    const double found = mesh_quality(mesh).free_edge_length;
    if (std::abs(found - wanted) > 2e-3 * wanted + 1e-6)
        throw MeshError(fmt::format("free edges of {:.4f} m were wanted, the mesh has {:.4f} m: a board came loose",
                                    wanted / sizes.scale, found / sizes.scale));
}

/// Along the stretches where a junction's boards touch, both must own the edges. What a third board's opening takes
/// out of them afterwards does not count.
void check_junctions(const Drawing& drawing, const Cabinet& cabinet, const Layout& layout, const Sizes& sizes)
{
    std::vector<std::vector<int>> boards_at(drawing.edges.size());
    for (const Face& face : drawing.faces)
        for (const auto& loop : face.loops)
            for (const HalfEdge h : loop) boards_at[h / 2].push_back(face.board);
    for (std::size_t j = 0; j < cabinet.junctions.size(); ++j) {
        const Junction& junction = cabinet.junctions[j];
        double wanted = 0, found = 0;
        for (const Span& s : layout.junctions[j].active)
            wanted += (s.to - s.from) * (junction.to - junction.from).norm();
        for (std::size_t e = 0; e < drawing.edges.size(); ++e) {
            const auto& on = drawing.edges[e].junctions;
            const auto owns = [&](int b) {
                return std::find(boards_at[e].begin(), boards_at[e].end(), b) != boards_at[e].end();
            };
            if (std::find(on.begin(), on.end(), static_cast<int>(j)) != on.end() && owns(junction.passing) &&
                owns(junction.ending))
                found += drawing.length(static_cast<int>(e));
        }
        if (std::abs(found - wanted) > 0.01 * wanted + 4 * sizes.merge)
            throw MeshError(fmt::format("boards '{}' and '{}' meet along {:.1f} mm, the mesh joins {:.1f} mm",
                                        cabinet.boards[junction.passing].name, cabinet.boards[junction.ending].name,
                                        wanted / sizes.scale * 1e3, found / sizes.scale * 1e3));
    }
}

void check_connected(const ShellMesh& mesh, const Cabinet& cabinet)
{
    std::vector<int> parent(static_cast<std::size_t>(mesh.n_nodes()));
    std::iota(parent.begin(), parent.end(), 0);
    const auto root = [&](int v) {
        while (parent[v] != v) v = parent[v] = parent[parent[v]];
        return v;
    };
    for (const ShellMesh::Quad& quad : mesh.quads)
        for (const int node : quad.node) parent[root(node)] = root(quad.node[0]);
    for (const ShellMesh::Quad& quad : mesh.quads)
        if (root(quad.node[0]) != root(mesh.quads.front().node[0]))
            throw MeshError(quoted(cabinet.boards[quad.board]) + " is not joined to the rest of the cabinet");
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        if (std::none_of(mesh.quads.begin(), mesh.quads.end(),
                         [b](const auto& q) { return q.board == static_cast<int>(b); }))
            throw MeshError(quoted(cabinet.boards[b]) + " has no elements");
}

} // namespace

void check(const ShellMesh& mesh, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout,
           const Sizes& sizes)
{
    check_areas(mesh, drawing, cabinet, layout, sizes);
    check_junctions(drawing, cabinet, layout, sizes);
    check_connected(mesh, cabinet);
    check_free_edges(mesh, drawing, sizes);
}

} // namespace stillwall::mesh
