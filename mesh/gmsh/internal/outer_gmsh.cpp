#include "mesh/cabinet/error.h"
#include "mesh/gmsh/internal/gmsh_guides.h"
#include "mesh/gmsh/internal/outer_facets.h"
#include "mesh/gmsh/internal/outer_tidy.h"

#include <gmsh.h>

#include <algorithm>
#include <map>
#include <string>

namespace stillwall::mesh {
namespace {

namespace geo = gmsh::model::geo;

/// The regions in an open Gmsh model.
class Drawing
{
public:
    Drawing(const std::vector<const OuterRegion*>& regions, const std::vector<Vector3d>& vertices)
    {
        for (const OuterRegion* region : regions) {
            std::vector<int> loops;
            for (const std::vector<int>& loop : region->loops) {
                std::vector<int> lines;
                for (std::size_t k = 0; k < loop.size(); ++k)
                    lines.push_back(line(loop[k], loop[(k + 1) % loop.size()], vertices));
                loops.push_back(geo::addCurveLoop(lines));
            }
            surfaces_.push_back(geo::addPlaneSurface(loops));
        }
        geo::synchronize();
    }

    /// One region's facets; its inner nodes become vertices.
    std::vector<Facet> collect(std::size_t region, const Board& board, std::vector<Vector3d>& vertices)
    {
        std::vector<std::size_t> tags;
        std::vector<double> x, unused;
        gmsh::model::mesh::getNodes(tags, x, unused, 2, surfaces_[region], false, false);
        for (std::size_t k = 0; k < tags.size(); ++k) {
            vertex_of_[tags[k]] = static_cast<int>(vertices.size());
            const Vector3d p(x[3 * k], x[3 * k + 1], x[3 * k + 2]);
            vertices.emplace_back(p -
                                  (board.frame.height_of(p) - board.thickness() / 2) * board.frame.n); // exactly flat
        }
        std::vector<Facet> facets;
        for (const std::size_t n : {3U, 4U}) {
            std::vector<std::size_t> unused_tags, nodes; // both must come empty
            gmsh::model::mesh::getElementsByType(n == 3 ? 2 : 3, unused_tags, nodes, surfaces_[region]);
            for (std::size_t k = 0; k < nodes.size(); k += n) {
                Facet facet{-1, -1, -1, -1};
                for (std::size_t c = 0; c < n; ++c) facet[c] = vertex(nodes[k + c]);
                facets.push_back(turned(facet, board, vertices));
            }
        }
        return facets;
    }

    void map_points()
    {
        std::vector<std::size_t> tags;
        std::vector<double> x, unused;
        for (const auto& [ours, point] : points_) {
            gmsh::model::mesh::getNodes(tags, x, unused, 0, point, false, false);
            if (tags.size() == 1) vertex_of_[tags.front()] = ours;
        }
    }

private:
    int point(int ours, const std::vector<Vector3d>& vertices)
    {
        const auto [it, is_new] = points_.try_emplace(ours, 0);
        const Vector3d& p = vertices[static_cast<std::size_t>(ours)];
        if (is_new) it->second = geo::addPoint(p.x(), p.y(), p.z());
        return it->second;
    }

    /// One side; negative against the direction in which it was drawn.
    int line(int from, int to, const std::vector<Vector3d>& vertices)
    {
        const auto [it, is_new] = lines_.try_emplace(std::minmax(from, to), 0);
        if (is_new) {
            it->second = geo::addLine(point(std::min(from, to), vertices), point(std::max(from, to), vertices));
            geo::mesh::setTransfiniteCurve(it->second, 2);
        }
        return from < to ? it->second : -it->second;
    }

    [[nodiscard]] int vertex(std::size_t node) const
    {
        const auto it = vertex_of_.find(node);
        if (it == vertex_of_.end()) throw MeshError("the outside could not be meshed: a side was split");
        return it->second;
    }

    static Facet turned(Facet facet, const Board& board, const std::vector<Vector3d>& vertices)
    {
        const auto at = [&](std::size_t c) {
            return board.frame.to_board(vertices[static_cast<std::size_t>(facet[c])]);
        };
        const Vector2d u = at(1) - at(0), v = at(2) - at(0);
        if (u.x() * v.y() - u.y() * v.x() < 0) std::reverse(facet.begin(), facet.begin() + (facet[3] < 0 ? 3 : 4));
        return facet;
    }

    std::map<int, int> points_; ///< vertex → Gmsh's point
    std::map<std::pair<int, int>, int> lines_;
    std::vector<int> surfaces_;
    std::map<std::size_t, int> vertex_of_; ///< Gmsh's node → vertex
};

} // namespace

std::vector<std::vector<Facet>> facets_by_gmsh(const Cabinet& cabinet, const std::vector<const OuterRegion*>& regions,
                                               const OuterSizes& sizes, std::vector<Vector3d>& vertices)
{
    std::vector<std::vector<Facet>> result;
    if (regions.empty()) return result;
    try {
        gmsh::model::add("outside"); // the sizes belong to it
        const GmshLog log;
        const SizeCallback callback([&](const Vector3d& p) { return sizes.at(p); });
        for (const auto& [name, value] : std::initializer_list<std::pair<const char*, double>>{
                 {"Mesh.RecombineAll", 0}, // tidy() joins, and leaves triangles where a quadrilateral would be bad
                 {"Mesh.Algorithm", 6},
                 {"Mesh.MeshSizeExtendFromBoundary", 0},
             })
            gmsh::option::setNumber(name, value);
        Drawing drawing(regions, vertices);
        gmsh::model::mesh::generate(2);
        if (const auto error = first_logged_error()) throw MeshError("the outside could not be meshed: " + *error);
        drawing.map_points();
        for (std::size_t r = 0; r < regions.size(); ++r) {
            const Board& board = cabinet.board(regions[r]->board);
            const auto first_inner = static_cast<int>(vertices.size());
            result.push_back(drawing.collect(r, board, vertices));
            if (result.back().empty())
                throw MeshError("the outside could not be meshed: a face of '" + board.name + "' stays empty");
            tidy(result.back(), first_inner, board.frame.n, vertices);
        }
    } catch (const std::string& message) { // Gmsh throws std::string
        throw MeshError("the outside could not be meshed: " + message);
    }
    return result;
}

} // namespace stillwall::mesh
