#include "mesh/gmsh/mesher.h"

#include "mesh/gmsh/internal/nine_node.h"

#include <fmt/core.h>

#include <string>

namespace stillwall::mesh {

namespace {

ShellMesh mesh_once(const Cabinet& cabinet, const Sizes& sizes)
{
    const Layout layout = lay_out(cabinet, sizes);
    Drawing drawing = draw_edges(cabinet, layout, sizes);
    trace_faces(drawing, cabinet, layout, sizes);
    square_strips(drawing, sizes);
    const CornerMesh corners = mesh_corners(drawing, cabinet, count_sides(drawing, cabinet, sizes));
    ShellMesh mesh = raise_order(corners, drawing, cabinet, layout);
    check(mesh, drawing, cabinet, layout, sizes);
    return mesh;
}

/// What is tried, in order: element size as wanted, then somewhat smaller, which changes the counts and with them the
/// pattern, and wider distances below which things become one.
constexpr struct
{
    double element, coarseness;
} attempts[] = {{1, 1}, {0.9, 1}, {1, 1.6}, {0.8, 1}, {0.9, 1.6}, {0.7, 1}, {0.6, 1}, {0.7, 1.6}};

} // namespace

ShellMesh mesh_shell(const Cabinet& cabinet, const MeshOptions& options)
{
    if (!(options.element_size > 1e-3) || options.element_size > 10)
        throw MeshError(fmt::format("element size must lie between 1 mm and 10 m, got {} m", options.element_size));
    std::string first_problem;
    for (const auto& attempt : attempts) {
        try {
            return mesh_once(cabinet, Sizes(attempt.element * options.element_size, attempt.coarseness));
        } catch (const MeshError& e) {
            if (getenv("MDBG")) fprintf(stderr, "attempt %g %g: %s\n", attempt.element, attempt.coarseness, e.what());
            if (first_problem.empty()) first_problem = e.what();
        }
    }
    throw MeshError(first_problem);
}

} // namespace stillwall::mesh
