#include "mesh/gmsh/internal/air_collect.h"

#include "mesh/cabinet/error.h"

#include <Eigen/Geometry>

#include <fmt/core.h>
#include <gmsh.h>

#include <algorithm>
#include <utility>

namespace stillwall::mesh {
namespace {

constexpr int six_node_triangle = 9, ten_node_tetrahedron = 11; // element types of Gmsh
constexpr double probe_step = 5e-5;                             ///< [m] from a surface into the air

using NodeMap = std::map<std::size_t, int>; ///< Gmsh node → node

/// Elements of the volumes, in order; Gmsh counts mid-edges 8 and 9 the other way round.
AirMesh collect_elements(const std::vector<int>& volumes, NodeMap& ours)
{
    AirMesh mesh;
    std::vector<std::size_t> tags;
    std::vector<double> x, unused;
    gmsh::model::mesh::getNodes(tags, x, unused, -1, -1, false, false);
    std::map<std::size_t, std::size_t> column;
    for (std::size_t k = 0; k < tags.size(); ++k) column[tags[k]] = k;
    std::vector<Vector3d> nodes;
    for (const int volume : volumes) {
        std::vector<std::size_t> elements, element_nodes; // new ones: Gmsh takes filled ones for room to write in
        gmsh::model::mesh::getElementsByType(ten_node_tetrahedron, elements, element_nodes, volume);
        for (std::size_t e = 0; e < elements.size(); ++e) {
            std::array<int, 10> tet{};
            for (std::size_t a = 0; a < 10; ++a) {
                const std::size_t tag = element_nodes[10 * e + a];
                const auto [it, is_new] = ours.try_emplace(tag, static_cast<int>(nodes.size()));
                if (is_new) nodes.emplace_back(Eigen::Map<const Vector3d>(&x[3 * column.at(tag)]));
                tet[a] = it->second;
            }
            std::swap(tet[8], tet[9]);
            mesh.tets.push_back(tet);
            mesh.chamber.push_back(mesh.n_chambers);
        }
        ++mesh.n_chambers;
    }
    if (mesh.tets.empty()) throw MeshError("the air could not be meshed: no elements");
    mesh.nodes.resize(3, static_cast<Eigen::Index>(nodes.size()));
    for (std::size_t k = 0; k < nodes.size(); ++k) mesh.nodes.col(static_cast<Eigen::Index>(k)) = nodes[k];
    return mesh;
}

/// What the surface lies on, asked at its point nearest to `middle`.
AirMesh::Face tag_of(int surface, const Vector3d& middle, const AirTagger& tagger)
{
    std::vector<double> on, parameter, n;
    gmsh::model::getClosestPoint(2, surface, {middle.x(), middle.y(), middle.z()}, on, parameter);
    gmsh::model::getNormal(surface, parameter, n);
    const Vector3d p(on[0], on[1], on[2]);
    Vector3d out = Vector3d(n[0], n[1], n[2]).normalized();
    const Vector3d probe = p - probe_step * out;
    if (!tagger.is_inside(probe) || tagger.solid_at(probe)) out = -out;
    const std::optional<AirMesh::Face> tag = tagger.at(p, out);
    if (!tag)
        throw MeshError(fmt::format("the air's boundary near ({:.0f}, {:.0f}, {:.0f}) mm lies on nothing known",
                                    p.x() * 1e3, p.y() * 1e3, p.z() * 1e3));
    return *tag;
}

} // namespace

Corners corners_of(int a, int b, int c)
{
    Corners corners{a, b, c};
    std::sort(corners.begin(), corners.end());
    return corners;
}

DrawnAir collect_air(const std::vector<int>& volumes, const AirTagger& tagger)
{
    NodeMap ours;
    DrawnAir drawn{collect_elements(volumes, ours), {}};
    gmsh::vectorpair surfaces, solids;
    for (const int volume : volumes) solids.emplace_back(3, volume);
    gmsh::model::getBoundary(solids, surfaces, false, false);
    for (const auto& entity : surfaces) {
        std::vector<std::size_t> elements, nodes;
        gmsh::model::mesh::getElementsByType(six_node_triangle, elements, nodes, entity.second);
        std::vector<Corners> triangles;
        Vector3d middle = Vector3d::Zero(); // of the largest triangle
        double largest = -1;
        for (std::size_t e = 0; e < elements.size(); ++e) {
            const auto node = [&](std::size_t a) { return ours.at(nodes[6 * e + a]); };
            triangles.push_back(corners_of(node(0), node(1), node(2)));
            const Vector3d p = drawn.mesh.nodes.col(node(0)), q = drawn.mesh.nodes.col(node(1)),
                           r = drawn.mesh.nodes.col(node(2));
            const double area = (q - p).cross(r - p).norm();
            if (area <= largest) continue;
            largest = area;
            middle = (p + q + r) / 3;
        }
        if (triangles.empty()) throw MeshError("the air could not be meshed: a surface has no elements");
        const AirMesh::Face tag = tag_of(entity.second, middle, tagger);
        for (const Corners& corners : triangles) drawn.tags[corners] = tag;
    }
    return drawn;
}

} // namespace stillwall::mesh
