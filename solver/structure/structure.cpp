#include "solver/structure/structure.h"

#include "solver/structure/internal/attachments.h"
#include "solver/structure/internal/grouping.h"
#include "solver/structure/section/damping.h"

#include <algorithm>
#include <stdexcept>

namespace stillwall::solver {
namespace {

/// The cabinet as its joints see it: layers' figures at the reference frequency, boards solid through their films.
Cabinet solid_view(const Cabinet& cabinet, const Structure& structure)
{
    Cabinet solid = cabinet;
    solid.materials = structure.materials;
    for (std::size_t b = 0; b < solid.boards.size(); ++b) {
        Layup& layup = solid.boards[b].layup;
        layup =
            without_films(layup, soft_plies(solid, solid.materials, static_cast<int>(b), {}, structure.reference_Hz));
    }
    return solid;
}

} // namespace

Section group_section(const SectionGroup& group, const Cabinet& cabinet, const std::vector<Material>& materials)
{
    const Stack stack = make_stack(cabinet, group.board, group.layers, group.soft, group.rebate);
    const auto found = std::find_if(stack.leaves.begin(), stack.leaves.end(),
                                    [&](const Leaf& leaf) { return leaf.key == group.leaf; });
    if (found == stack.leaves.end()) throw std::logic_error("a section group names a leaf that does not exist");
    const auto index = static_cast<int>(found - stack.leaves.begin());
    Section section =
        make_section(stack.plies_of(*found), materials, cabinet.board(group.board).grain, found->z_bottom);
    for (const Film& film :
         stack.films) { // half of it on each leaf, at the face it sticks to: a foil's own turning must not swing it
        if (film.below != index && film.below + 1 != index) continue;
        const Ply& ply = stack.plies[static_cast<std::size_t>(film.ply)];
        const double z = film.below == index ? film.z_bottom : film.z_bottom + ply.thickness;
        const double mass = materials[static_cast<std::size_t>(ply.material)].rho.value * ply.thickness / 2;
        section.mass += mass;
        section.mass_moment += mass * z;
        section.mass_inertia += mass * z * z;
    }
    for (const StripUse& use : group.strips) section = with_strip(section, use.law, use.direction, use.side);
    return section;
}

Eigen::MatrixXd rows_of(const Eigen::MatrixXd& phi, std::span<const int> nodes)
{
    Eigen::MatrixXd part(static_cast<Eigen::Index>(6 * nodes.size()), phi.cols());
    for (std::size_t i = 0; i < nodes.size(); ++i)
        part.middleRows<6>(static_cast<Eigen::Index>(6 * i)) = phi.middleRows<6>(6 * nodes[i]);
    return part;
}

Eigen::RowVectorXd tap_motion(const RimTap& tap, const Eigen::MatrixXd& phi)
{
    return tap.row * rows_of(phi, tap.nodes);
}

Eigen::RowVectorXd tap_stretch(const RimTap& tap, const Eigen::MatrixXd& phi)
{
    if (tap.stretch.size() == 0) return Eigen::RowVectorXd::Zero(phi.cols());
    return tap.stretch * rows_of(phi, tap.nodes);
}

Structure build_structure(const Cabinet& cabinet, const ShellMesh& mesh, double reference_Hz, LawCache& known_laws)
{
    Structure structure;
    structure.reference_Hz = reference_Hz;
    structure.materials = materials_at(cabinet.materials, cabinet.temperature, reference_Hz);
    const Cabinet solid = solid_view(cabinet, structure);
    internal::LawTable laws(solid, known_laws);
    internal::BoardNodes nodes(cabinet, mesh);
    internal::group_elements(cabinet, mesh, laws, nodes, structure);
    structure.nodes = nodes.places();
    structure.n_drawn = nodes.n_drawn();
    internal::attach_inserts(cabinet, mesh, nodes, structure);
    internal::attach_ribs(cabinet, mesh, nodes, structure);
    internal::attach_rods(cabinet, mesh, structure);
    internal::attach_junctions(solid, mesh, nodes, laws, structure);
    internal::attach_line_springs(cabinet, mesh, nodes, structure);
    internal::attach_masses(cabinet, mesh, structure);
    internal::attach_supports(cabinet, mesh, structure);
    for (std::size_t s = 0; s < cabinet.supports.size(); ++s) {
        const Support& support = cabinet.supports[s];
        if (!support.is_clamped_edge) continue;
        const auto held = nodes.base(support.board, mesh.clamped_nodes.at(s));
        structure.held.insert(structure.held.end(), held.begin(), held.end());
    }
    return structure;
}

ShellMesh drawn_mesh(const ShellMesh& mesh, const Structure& structure)
{
    ShellMesh drawn = mesh;
    drawn.nodes = structure.nodes.leftCols(structure.n_drawn);
    for (std::size_t q = 0; q < drawn.quads.size(); ++q) drawn.quads[q].node = structure.base_nodes[q];
    return drawn;
}

} // namespace stillwall::solver
