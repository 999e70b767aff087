#include "solver/modes/structure.h"

#include "solver/modes/internal/attachments.h"
#include "solver/modes/internal/law_table.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <map>

namespace stillwall::solver {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

Vector3d middle_of(const Board& board)
{
    Vector2d sum = Vector2d::Zero();
    for (const Vector2d& p : board.outline) sum += p;
    return board.frame.to_space(sum / static_cast<double>(board.outline.size()));
}

double sign_of(double x) { return x > 0 ? 1.0 : x < 0 ? -1.0 : 0.0; }

/// Strips that act on one element: a junction on either side of it counts with n pointing to the element.
class StripFinder
{
public:
    StripFinder(const Cabinet& cabinet, const ShellMesh& mesh, internal::LawTable& laws)
        : cabinet_(cabinet), mesh_(mesh), laws_(laws)
    {
    }

    /// Pairs (junction, +1 or −1: which side of the line, along e_s × n of the board).
    using Key = std::vector<std::pair<int, int>>;

    [[nodiscard]] Key key_of(const ShellMesh::Quad& quad) const
    {
        const auto& zone = mesh_.zones[static_cast<std::size_t>(quad.zone)];
        const Board& board = cabinet_.board(quad.board);
        const Vector3d centre = mesh_.nodes.col(quad.node[8]);
        Key key;
        for (int j : zone.strips) {
            if (repeats_line(key, j)) continue;
            const Junction& junction = cabinet_.junctions[static_cast<std::size_t>(j)];
            const Vector3d across = board.frame.n.cross((junction.to - junction.from).normalized());
            key.emplace_back(j, (centre - junction.from).dot(across) > 0 ? 1 : -1);
        }
        return key;
    }

    [[nodiscard]] std::vector<StripUse> uses(const Key& key, int board_index)
    {
        const Board& board = cabinet_.board(board_index);
        std::vector<StripUse> result;
        for (const auto& [j, sign] : key) {
            const Junction& junction = cabinet_.junctions[static_cast<std::size_t>(j)];
            const Vector3d n = sign * board.frame.n.cross((junction.to - junction.from).normalized());
            const bool is_passing = junction.passing == board_index;
            const JointLaw& law = laws_.of(junction);
            const Board& other = cabinet_.board(is_passing ? junction.ending : junction.passing);
            StripUse use;
            use.law = is_passing ? law.row : law.column;
            use.direction = std::atan2(n.dot(board.frame.e2), n.dot(board.frame.e1));
            const bool is_two_sided = junction.kind == Junction::Kind::Cross ||
                                      (junction.kind == Junction::Kind::Tee && !is_passing);
            use.side = is_two_sided ? 0 : sign_of(board.frame.height_of(middle_of(other)));
            result.push_back(use);
        }
        return result;
    }

private:
    /// Two boards ending on the same line of a passing one (from either face) stiffen it once.
    [[nodiscard]] bool repeats_line(const Key& key, int j) const
    {
        const Junction& a = cabinet_.junctions[static_cast<std::size_t>(j)];
        const Vector3d s = (a.to - a.from).normalized();
        for (const auto& [k, sign] : key) {
            const Junction& b = cabinet_.junctions[static_cast<std::size_t>(k)];
            if (s.cross(b.from - a.from).norm() < 1e-3 && s.cross(b.to - a.from).norm() < 1e-3) return true;
        }
        return false;
    }

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    internal::LawTable& laws_;
};

void group_elements(const Cabinet& cabinet, const ShellMesh& mesh, internal::LawTable& laws, Structure& structure)
{
    StripFinder finder(cabinet, mesh, laws);
    std::map<std::pair<int, StripFinder::Key>, int> index;
    for (const auto& quad : mesh.quads) {
        const auto key = finder.key_of(quad);
        const auto [found, is_new] =
            index.try_emplace({quad.board, key}, static_cast<int>(structure.groups.size()));
        if (is_new) {
            structure.groups.push_back({quad.board, finder.uses(key, quad.board)});
            const Board& board = cabinet.board(quad.board);
            structure.sections.push_back(group_section(structure.groups.back(), board, board.layup, cabinet.materials));
        }
        structure.element_group.push_back(found->second);
    }
}

void assemble_structure(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    std::vector<std::vector<int>> groups;
    for (const auto& quad : mesh.quads) groups.emplace_back(quad.node.begin(), quad.node.end());
    for (const auto& attachment : structure.attachments) groups.push_back(attachment.nodes);
    SystemBuilder builder(static_cast<int>(structure.nodes.cols()), groups);
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        const auto& quad = mesh.quads[e];
        const auto points = strain_points(ElementFamily::Quad9, element_nodes(structure.nodes, quad.node),
                                          cabinet.board(quad.board).frame.e1);
        const auto group = static_cast<std::size_t>(structure.element_group[e]);
        const ElementMatrices m = element_matrices(ElementFamily::Quad9, points, structure.sections[group]);
        builder.add(quad.node, m.K, m.M);
    }
    for (const auto& a : structure.attachments) builder.add(a.nodes, a.K, a.M);
    structure.system = builder.take();
}

} // namespace

Section group_section(const SectionGroup& group, const Board& board, const Layup& layup,
                      const std::vector<Material>& materials)
{
    Section section = make_section(layup, materials, board.grain);
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

Eigen::RowVectorXd tap_motion(const RimTap& tap, const Eigen::MatrixXd& phi) { return tap.row * rows_of(phi, tap.nodes); }

Structure build_structure(const Cabinet& cabinet, const ShellMesh& mesh)
{
    Structure structure;
    structure.nodes = mesh.nodes;
    internal::LawTable laws(cabinet);
    group_elements(cabinet, mesh, laws, structure);
    internal::attach_inserts(cabinet, mesh, structure);
    internal::attach_ribs(cabinet, mesh, structure);
    internal::attach_rods(cabinet, mesh, structure);
    internal::attach_junctions(cabinet, mesh, laws, structure);
    internal::attach_supports(cabinet, mesh, structure);
    assemble_structure(cabinet, mesh, structure);

    Eigen::VectorXd rigid = Eigen::VectorXd::Zero(structure.system.M.cols());
    for (Eigen::Index i = 0; i < rigid.size(); i += 6) rigid[i] = 1;
    structure.mass = rigid.dot(structure.system.M * rigid);

    std::vector<int> held;
    for (const auto& nodes : mesh.clamped_nodes)
        for (int node : nodes)
            for (int k = 0; k < 6; ++k) held.push_back(6 * node + k);
    if (!held.empty()) hold(structure.system, held);
    return structure;
}

} // namespace stillwall::solver
