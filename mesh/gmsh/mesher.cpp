#include "mesh/gmsh/mesher.h"

#include "mesh/gmsh/internal/nine_node.h"

#include <fmt/core.h>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

namespace stillwall::mesh {

namespace {

constexpr double good_jacobian = 0.2;    ///< scaled Jacobian below which an element is bad
constexpr double usable_jacobian = 0.05; ///< accepted in the end when no attempt does better

/// A mesh and its worst element; no mesh when a face could not be covered.
struct Result
{
    std::optional<ShellMesh> mesh;
    double worst = 0;
    std::string problem;
};

/// Where a mesh is bad, for the user.
std::string place(const Cabinet& cabinet, int board, const Vector3d& x)
{
    return fmt::format("board '{}' near ({:.0f}, {:.0f}, {:.0f}) mm", cabinet.boards[board].name, x.x() * 1e3,
                       x.y() * 1e3, x.z() * 1e3);
}

/// One drawing, meshed up to three times: faces that stay open or hold a bad element get finer sides.
Result mesh_drawing(const Cabinet& cabinet, const Sizes& sizes)
{
    const Layout layout = lay_out(cabinet, sizes);
    Drawing drawing = draw_edges(cabinet, layout, sizes);
    trace_faces(drawing, cabinet, layout, sizes);
    square_strips(drawing, sizes);
    Result best;
    std::vector<int> refine(drawing.faces.size(), 0);
    for (int round = 0; round < 3; ++round) {
        const CornerMesh corners = mesh_corners(drawing, count_sides(drawing, cabinet, sizes, refine));
        for (const int f : corners.unfilled) {
            ++refine[f];
            const Face& face = drawing.faces[f];
            if (!best.mesh)
                best.problem =
                    place(cabinet, face.board, drawing.frames[face.board].to_space(drawing.inner_point(face))) +
                    " could not be covered with quadrilaterals";
        }
        if (!corners.unfilled.empty()) continue;
        ShellMesh mesh = raise_order(corners, drawing, cabinet, layout);
        check(mesh, drawing, cabinet, layout, sizes);
        double worst = 1;
        std::vector<bool> is_bad(drawing.faces.size(), false);
        std::string problem;
        for (std::size_t q = 0; q < mesh.quads.size(); ++q) {
            const double J = scaled_jacobian(mesh, mesh.quads[q]);
            if (J < good_jacobian) is_bad[corners.quads[q].face] = true;
            if (J >= worst) continue;
            worst = J;
            problem = fmt::format("{} has a badly shaped element, scaled Jacobian {:.2f}",
                                  place(cabinet, mesh.quads[q].board, mesh.nodes.col(mesh.quads[q].node[8])), J);
        }
        if (!best.mesh || worst > best.worst) best = {std::move(mesh), worst, std::move(problem)};
        if (best.worst >= good_jacobian) break;
        for (std::size_t f = 0; f < is_bad.size(); ++f) refine[f] += is_bad[f];
    }
    return best;
}

/// What is tried, in order: element size as wanted; somewhat smaller, which changes the counts and with them the
/// pattern; wider distances below which things become one; strips without the limits that cross sharply.
constexpr struct
{
    double element, coarseness;
    bool drops_sharp_limits;
} attempts[] = {{1, 1, false}, {0.9, 1, false},   {1, 1.6, false}, {0.8, 1, false},  {0.9, 1.6, false},
                {1, 1, true},  {0.7, 1.6, false}, {0.8, 1, true},  {0.9, 1.6, true}, {0.7, 1.6, true}};

} // namespace

ShellMesh mesh_shell(const Cabinet& cabinet, const MeshOptions& options)
{
    if (!(options.element_size > 1e-3) || options.element_size > 10)
        throw MeshError(fmt::format("element size must lie between 1 mm and 10 m, got {} m", options.element_size));
    Result best;
    double bar = good_jacobian;
    for (const auto& attempt : attempts) {
        Result result;
        try {
            Sizes sizes(attempt.element * options.element_size, attempt.coarseness);
            sizes.drops_sharp_limits = attempt.drops_sharp_limits;
            result = mesh_drawing(cabinet, sizes);
        } catch (const MeshError& e) {
            result.problem = e.what();
        }
        if (best.problem.empty() || (result.mesh && result.worst > best.worst)) best = std::move(result);
        if (best.mesh && best.worst >= bar) return std::move(*best.mesh);
        bar = std::max(usable_jacobian, bar - 0.025); // rather a slightly worse element than a long search
    }
    throw MeshError(best.problem);
}

} // namespace stillwall::mesh
