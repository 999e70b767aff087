#include "mesh/gmsh/air_mesher.h"

#include "mesh/cabinet/error.h"
#include "mesh/gmsh/internal/air_collect.h"
#include "mesh/gmsh/internal/air_sizes.h"
#include "mesh/gmsh/internal/air_solids.h"
#include "mesh/gmsh/internal/bent_mesh.h"
#include "mesh/gmsh/internal/gmsh_guides.h"
#include "mesh/gmsh/internal/patch.h"

#include <Eigen/Geometry>

#include <fmt/core.h>
#include <gmsh.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

namespace stillwall::mesh {
namespace {

constexpr int arcs_per_circle =
    8; ///< least elements on a full circle; quadratic arcs of 45° are true to 3e-4 of the radius
constexpr double folded = 0.05;   ///< Jacobian ratio below which the curved sides of an element are straightened
constexpr double flattest = 1e-3; ///< shape of an element below which other sizes are tried
constexpr double least_shape =
    1e-8; ///< taken in the end: where faces meet in a wedge of a hair some are flat at any size
constexpr double volume_gap = 5e-3; ///< relative difference between mesh and drawing that cannot be chords

void set_options(double element_size)
{
    for (const auto& [name, value] : std::initializer_list<std::pair<const char*, double>>{
             {"Mesh.RecombineAll", 0},
             {"Mesh.Algorithm", 6},
             {"Mesh.Algorithm3D", 1}, // Delaunay; the parallel one is not repeatable
             {"Mesh.MeshSizeMax", element_size},
             {"Mesh.MeshSizeFromCurvature", arcs_per_circle},
             {"Mesh.Optimize", 1},
         })
        gmsh::option::setNumber(name, value);
}

void check_log(const std::string& step)
{
    if (const auto error = first_logged_error())
        throw MeshError("the air could not be meshed: " + step + ": " + *error);
}

double drawn_volume(const std::vector<int>& volumes)
{
    double sum = 0;
    for (const int tag : volumes) {
        double part = 0;
        gmsh::model::occ::getMass(3, tag, part);
        sum += part;
    }
    return sum;
}

/// The mesh as Gmsh makes it, and the drawing's volume [m³].
std::pair<DrawnAir, double> mesh_drawing(const Cabinet& cabinet, double element_size, bool improves)
{
    const std::vector<AirBrace> braces = air_braces(cabinet);
    const std::vector<AirBody> bodies = air_bodies(cabinet);
    const std::vector<AirLayer> layers = air_layers(cabinet);
    const AirTagger tagger(cabinet, braces, bodies, layers);
    const GmshSession session;
    try {
        const GmshLog log;
        set_options(element_size);
        gmsh::model::add("air");
        const std::vector<int> volumes = draw_air(cabinet, braces, bodies, layers);
        check_log("drawing");
        const double drawn = drawn_volume(volumes);
        const AirSizes sizes(reentrant_edges(tagger, element_size), element_size);
        const SizeCallback callback([&](const Vector3d& p) { return sizes.at(p); });
        gmsh::model::mesh::generate(3);
        if (improves)
            for (const char* way : {"Relocate3D", ""}) gmsh::model::mesh::optimize(way);
        gmsh::model::mesh::setOrder(2);
        check_log("meshing");
        return {collect_air(volumes, tagger), drawn};
    } catch (const std::string& message) { // Gmsh throws std::string
        throw MeshError("the air could not be meshed: " + message);
    }
}

/// A mesh and its flattest element.
struct Result
{
    AirMesh mesh;
    double least = 1;
    Vector3d where = Vector3d::Zero(); ///< [m]
};

/// Elements are turned the right way round; those folded by their curved sides get straight ones.
void mend(Result& result)
{
    AirMesh& mesh = result.mesh;
    for (auto& tet : mesh.tets) {
        double s = shape(mesh, tet);
        if (s < 0) {
            std::swap(tet[1], tet[2]);
            std::swap(tet[4], tet[6]);
            std::swap(tet[8], tet[9]);
            s = shape(mesh, tet);
        }
        if (s >= result.least) continue;
        result.least = s;
        result.where = mesh.nodes.col(tet[0]);
    }
    // A straightened side may fold a neighbour in its turn: until nothing moves. Every round leaves fewer curved sides.
    for (bool is_done = false; !is_done;) {
        is_done = true;
        for (const auto& tet : mesh.tets) {
            if (jacobian_ratio(mesh, tet) >= folded) continue;
            for (std::size_t e = 0; e < 6; ++e) {
                const auto [i, j] = tet10_edges[e];
                const Vector3d middle = 0.5 * (mesh.nodes.col(tet[static_cast<std::size_t>(i)]) +
                                               mesh.nodes.col(tet[static_cast<std::size_t>(j)]));
                if ((mesh.nodes.col(tet[4 + e]) - middle).norm() < 1e-12) continue;
                mesh.nodes.col(tet[4 + e]) = middle;
                is_done = false;
            }
        }
    }
}

/// Triangles used by one element only, with what lies behind them.
void add_faces(DrawnAir& drawn)
{
    std::map<Corners, std::array<int, 6>> open;
    for (const auto& tet : drawn.mesh.tets) {
        for (const auto& local : tet10_faces) {
            std::array<int, 6> node{};
            for (std::size_t a = 0; a < 6; ++a) node[a] = tet[static_cast<std::size_t>(local[a])];
            const auto [it, is_new] = open.try_emplace(corners_of(node[0], node[1], node[2]), node);
            if (!is_new) open.erase(it);
        }
    }
    for (const auto& [corners, node] : open) {
        const auto tag = drawn.tags.find(corners);
        if (tag == drawn.tags.end()) throw MeshError("the air could not be meshed: its elements leave a gap");
        drawn.mesh.faces.push_back(tag->second);
        drawn.mesh.faces.back().node = node;
    }
    if (open.size() != drawn.tags.size()) throw MeshError("the air could not be meshed: its surface is not closed");
}

Result mesh_once(const Cabinet& cabinet, double element_size, bool improves)
{
    auto [drawn, drawn_volume] = mesh_drawing(cabinet, element_size, improves);
    Result result{std::move(drawn.mesh)};
    mend(result);
    drawn.mesh = std::move(result.mesh);
    add_faces(drawn);
    result.mesh = std::move(drawn.mesh);
    if (const double meshed = volume(result.mesh); std::abs(meshed - drawn_volume) > volume_gap * drawn_volume)
        throw MeshError(fmt::format("the air could not be meshed: its elements fill {:.3f} l of {:.3f} l", meshed * 1e3,
                                    drawn_volume * 1e3));
    return result;
}

} // namespace

AirMesh mesh_air(const Cabinet& cabinet, const AirMeshOptions& options)
{
    if (!(options.element_size >= 2e-3) || options.element_size > 10)
        throw MeshError(fmt::format("element size must lie between 2 mm and 10 m, got {} m", options.element_size));
    if (cabinet.facets) return of_curved(cabinet, mesh_air(cabinet.facets->flat, options));
    std::optional<Result> best;
    std::string problem;
    for (const double share : {1.0, 0.9, 0.8}) { // another size gives another pattern
        try {
            Result result = mesh_once(cabinet, share * options.element_size, share < 1);
            if (!best || result.least > best->least) best = std::move(result);
            if (best->least >= flattest) break;
        } catch (const MeshError& e) {
            problem = e.what();
        }
    }
    if (best && best->least >= least_shape) return std::move(best->mesh);
    if (!best) throw MeshError(problem);
    const Vector3d x = 1e3 * best->where;
    throw MeshError(fmt::format("the air could not be meshed: a flat element near ({:.0f}, {:.0f}, {:.0f}) mm; try "
                                "another element size",
                                x.x(), x.y(), x.z()));
}

} // namespace stillwall::mesh
