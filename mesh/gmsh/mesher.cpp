#include "mesh/gmsh/mesher.h"

#include "mesh/gmsh/internal/bent_mesh.h"
#include "mesh/gmsh/internal/canonical.h"
#include "mesh/gmsh/internal/nine_node.h"

#include <fmt/core.h>

#include <algorithm>
#include <limits>
#include <optional>
#include <string>
#include <utility>

namespace stillwall::mesh {

namespace {

constexpr double good_jacobian = 0.2;    ///< scaled Jacobian of the worst element above which nothing else is tried
constexpr double least_jacobian = 1e-3;  ///< taken in the end: no element is folded over
constexpr double usable_jacobian = 0.05; ///< below it the faces that hold the element are filled anew

/// A mesh and its worst element; no mesh when a face could not be covered.
struct Result
{
    std::optional<ShellMesh> mesh;
    double worst = 0;
    std::string problem;

    /// Twice as many elements are worth a tenth of the worst one's Jacobian: sharp corners of the cabinet itself get no
    /// better by them, and frequencies less than by size (draft against fine on random cabinets).
    [[nodiscard]] double worth(std::size_t plain_count) const
    {
        if (!mesh) return -10;
        const double excess = static_cast<double>(mesh->quads.size()) / static_cast<double>(plain_count) - 1;
        return worst < least_jacobian ? worst - 1 : std::min(worst, good_jacobian) - 0.1 * excess;
    }
};

/// Where a mesh is bad, for the user.
/// @param drawn  point of the drawing
std::string place(const CanonicalCabinet& canonical, int board, const Vector3d& drawn)
{
    const Vector3d x = canonical.to_true(drawn);
    return fmt::format("board '{}' near ({:.0f}, {:.0f}, {:.0f}) mm", canonical.cabinet().boards[board].name,
                       x.x() * 1e3, x.y() * 1e3, x.z() * 1e3);
}

/// One drawing, meshed up to four times: faces that hold an element of no use get finer sides, then, as those that stay
/// open, triangles cut into three.
Result mesh_drawing(const CanonicalCabinet& canonical, const Sizes& sizes)
{
    const Cabinet& cabinet = canonical.cabinet();
    const Layout layout = lay_out(cabinet, sizes);
    Drawing drawing = draw_edges(cabinet, layout, sizes);
    trace_faces(drawing, cabinet, layout, sizes);
    square_strips(drawing, sizes);
    Result best;
    std::vector<Remedy> remedies(drawing.faces.size());
    FilledFaces filled;
    int n_open = 0; // a face that gets an even number of sides may leave its neighbour with an odd one
    for (int round = 0; round < 4;) {
        const CornerMesh corners =
            mesh_corners(drawing, count_sides(drawing, cabinet, sizes, remedies), remedies, filled);
        for (const int f : corners.unfilled) {
            remedies[f].thirds = true;
            const Face& face = drawing.faces[f];
            if (!best.mesh)
                best.problem =
                    place(canonical, face.board, drawing.frames[face.board].to_space(drawing.inner_point(face))) +
                    " could not be covered with quadrilaterals";
        }
        if (!corners.unfilled.empty()) {
            if (++n_open > 8) break;
            continue;
        }
        ++round;
        ShellMesh mesh = raise_order(corners, drawing, cabinet, layout);
        check(mesh, drawing, cabinet, layout, sizes);
        double worst = 1;
        std::vector<bool> is_bad(drawing.faces.size(), false);
        std::string problem;
        for (std::size_t q = 0; q < mesh.quads.size(); ++q) {
            const double J = scaled_jacobian(mesh, mesh.quads[q]);
            if (J < usable_jacobian) is_bad[corners.quads[q].face] = true;
            if (J >= worst) continue;
            worst = J;
            problem = fmt::format("{} has a badly shaped element, scaled Jacobian {:.2f}",
                                  place(canonical, mesh.quads[q].board, mesh.nodes.col(mesh.quads[q].node[8])), J);
        }
        if (!best.mesh || worst > best.worst) best = {std::move(mesh), worst, std::move(problem)};
        if (best.worst >= usable_jacobian) break;
        for (std::size_t f = 0; f < is_bad.size(); ++f) {
            if (!is_bad[f]) continue;
            remedies[f].thirds |= remedies[f].finer > 0;
            remedies[f].finer = 1;
        }
    }
    return best;
}

/// What is tried, in order: element size as wanted; somewhat smaller, which changes the counts and with them the
/// pattern; narrower or wider distances below which things become one; strips without the limits that cross sharply.
constexpr struct
{
    double element, coarseness;
    bool drops_sharp_limits;
} attempts[] = {{1, 1, false},   {1, 0.25, false}, {0.9, 1, false},   {0.9, 0.1, false}, {0.9, 1.6, false},
                {0.8, 1, false}, {1, 1, true},     {0.8, 0.25, true}, {0.7, 1.6, false}, {0.9, 1.6, true}};

/// A curved board's factor for each of its facets.
MeshOptions on_facets(const FacetedCabinet& facets, const MeshOptions& options)
{
    MeshOptions flat = options;
    flat.factor.clear();
    if (!options.factor.empty())
        for (const int board : facets.board) flat.factor.push_back(options.factor[static_cast<std::size_t>(board)]);
    return flat;
}

} // namespace

ShellMesh mesh_shell(const Cabinet& cabinet, const MeshOptions& options)
{
    if (!(options.element_size > 1e-3) || options.element_size > 10)
        throw MeshError(fmt::format("element size must lie between 1 mm and 10 m, got {} m", options.element_size));
    if (!options.factor.empty() && options.factor.size() != cabinet.boards.size())
        throw MeshError(fmt::format("sizes of elements for {} boards, but {} of them", options.factor.size(),
                                    cabinet.boards.size()));
    for (const double factor : options.factor)
        if (!(factor > 0 && factor <= 1))
            throw MeshError(
                fmt::format("a board's factor on the element size must lie above 0 and up to 1, got {}", factor));
    if (cabinet.facets)
        return bent_mesh(cabinet, mesh_shell(cabinet.facets->flat, on_facets(*cabinet.facets, options)));
    const CanonicalCabinet canonical(cabinet, options.element_size);
    std::vector<double> factor; // in the drawing's order
    for (std::size_t b = 0; b < options.factor.size(); ++b)
        factor.push_back(options.factor[static_cast<std::size_t>(canonical.true_board(static_cast<int>(b)))]);
    double thinnest = std::numeric_limits<double>::max();
    for (const Board& board : cabinet.boards) thinnest = std::min(thinnest, board.thickness());
    Result best;
    std::size_t plain_count = 0; // of elements, in the first attempt that gave a mesh
    double bar = good_jacobian;
    for (const auto& attempt : attempts) {
        Result result;
        try {
            Sizes sizes(attempt.element * drawn_element, canonical.scale() * thinnest, attempt.coarseness);
            sizes.scale = canonical.scale();
            sizes.factor = factor;
            sizes.drops_sharp_limits = attempt.drops_sharp_limits;
            result = mesh_drawing(canonical, sizes);
        } catch (const MeshError& e) {
            result.problem = e.what();
        }
        if (result.mesh && plain_count == 0) plain_count = result.mesh->quads.size();
        if (best.problem.empty() || result.worth(plain_count) > best.worth(plain_count)) best = std::move(result);
        if (best.worth(plain_count) >= bar) break;
        bar = std::max(usable_jacobian, bar - 0.025); // rather a slightly worse element than a long search
    }
    if (best.mesh && best.worst > least_jacobian) return canonical.to_true(*best.mesh);
    throw MeshError(best.problem);
}

} // namespace stillwall::mesh
