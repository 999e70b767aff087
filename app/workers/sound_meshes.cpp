#include "app/workers/sound_meshes.h"

#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/gmsh/outer_mesher.h"

#include <algorithm>

namespace stillwall::app {

solver::SoundMeshes AroundWalls::with(const ShellMesh& shell) const
{
    solver::SoundMeshes meshes{.shell = shell, .air = air, .outer = outer, .outer_top = {}};
    for (const OuterLevel& level : levels) meshes.outer_top.push_back(level.top_Hz);
    return meshes;
}

AroundWalls mesh_around(const Cabinet& cabinet, double f_high, Accuracy accuracy, Progress& progress)
{
    AroundWalls meshes;
    const LargestEdges largest = largest_edges(cabinet, f_high);
    meshes.air_size = air_element_size(f_high, accuracy, largest.air);
    meshes.levels = outer_levels(f_high, accuracy, largest.panel);
    progress.show("meshing the air inside", 0.03);
    meshes.air = mesh::mesh_air(cabinet, {.element_size = meshes.air_size});
    progress.show("meshing the outside", 0.07);
    for (const OuterLevel& level : meshes.levels)
        meshes.outer.push_back(mesh::mesh_outer(cabinet, {.element_size = level.element_size}));
    return meshes;
}

Meshes mesh_all(const Cabinet& cabinet, double f_high, Accuracy accuracy, Progress& progress)
{
    Meshes meshes;
    meshes.shell_size = shell_element_size(cabinet, f_high, accuracy);
    progress.show("meshing the walls", 0.01);
    meshes.shell = mesh::mesh_shell(cabinet, {.element_size = meshes.shell_size});
    static_cast<AroundWalls&>(meshes) = mesh_around(cabinet, f_high, accuracy, progress);
    return meshes;
}

} // namespace stillwall::app
