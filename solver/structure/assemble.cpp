// K, M and loss of a structure (structure.h).

#include "solver/structure/structure.h"

#include "solver/structure/section/damping.h"
#include "solver/structure/shell/film.h"
#include "solver/structure/shell/nine_nodes.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace stillwall::solver {
namespace {

using Eigen::MatrixXd;

/// η when C_loss = η C.
std::optional<double> plain_loss(const Section& section)
{
    const double eta = section.C_loss(0, 0) / section.C(0, 0);
    const bool is_plain = (section.C_loss - eta * section.C).norm() <= 1e-12 * section.C.norm();
    return is_plain ? std::optional(eta) : std::nullopt;
}

/// The loss factor that all parts share, if they do.
std::optional<double> uniform_loss(const Structure& structure)
{
    const bool is_dependent = std::any_of(structure.materials.begin(), structure.materials.end(), depends_on_frequency);
    if (is_dependent || !structure.films.empty()) return std::nullopt;
    std::set<double> found;
    for (const Section& section : structure.sections) {
        const auto eta = plain_loss(section);
        if (!eta) return std::nullopt;
        found.insert(*eta);
    }
    for (const Attachment& a : structure.attachments)
        if (a.K.size() > 0) found.insert(a.loss);
    const bool is_one = !found.empty() && *found.rbegin() - *found.begin() <= 1e-12;
    return is_one ? std::optional(*found.begin()) : std::nullopt;
}

/// The same section with its dissipation in the place of its stiffness.
Section dissipation(const Section& section)
{
    Section loss = section;
    loss.C = section.C_loss;
    loss.G12_mean = section.G12_mean * section.C_loss(2, 2) / section.C(2, 2);
    return loss;
}

/// Difference of two sections as stiffness per unit.
Section slope(const Section& high, const Section& low, double span)
{
    Section d = high;
    d.C = (high.C - low.C) / span;
    d.G12_mean = (high.G12_mean - low.G12_mean) / span;
    return d;
}

MatrixXd film_matrix(const std::vector<StrainPoint>& points, const Eigen::Vector3d& e1, const FilmGroup& film,
                     const Eigen::Vector3d& k)
{
    const auto n = 2 * points.front().B.cols();
    MatrixXd K = MatrixXd::Zero(n, n);
    for (const FilmPoint& p : film_points(points, e1, film.z_bottom, film.thickness))
        K.noalias() += p.B.transpose() * (p.weight * k).asDiagonal() * p.B;
    return K;
}

const Material& material_of(const Structure& structure, const FilmGroup& film)
{
    return structure.materials[static_cast<std::size_t>(film.material)];
}

Eigen::Vector3d stiffness_of(const Structure& structure, const FilmGroup& film)
{
    const Material& m = material_of(structure, film);
    return film_stiffness(m.G13.value, m.nu12.value, film.thickness);
}

void add_pieces(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure, bool with_loss,
                SystemBuilder& builder)
{
    for (const ShellPiece& piece : structure.pieces) {
        const auto points = shared(quad_points(cabinet, mesh, piece.quad), piece.share);
        const Section& section = structure.sections[static_cast<std::size_t>(piece.group)];
        const ElementMatrices m = element_matrices(points, section);
        MatrixXd loss;
        if (with_loss) {
            const auto eta = plain_loss(section);
            loss = eta ? MatrixXd(*eta * m.K) : element_matrices(points, dissipation(section)).K;
        }
        builder.add(piece.node, m.K, m.M, loss);
    }
    for (const FilmPiece& piece : structure.film_pieces) {
        const FilmGroup& film = structure.films[static_cast<std::size_t>(piece.group)];
        const auto points = shared(quad_points(cabinet, mesh, piece.quad), piece.share);
        const MatrixXd K =
            film_matrix(points, quad_axis(cabinet, mesh, piece.quad), film, stiffness_of(structure, film));
        builder.add(piece.node, K, {}, with_loss ? MatrixXd(material_of(structure, film).eta.value * K) : MatrixXd());
    }
}

std::vector<std::vector<int>> couplings(const Structure& structure)
{
    std::vector<std::vector<int>> groups;
    for (const ShellPiece& piece : structure.pieces) groups.emplace_back(piece.node.begin(), piece.node.end());
    for (const FilmPiece& piece : structure.film_pieces) groups.emplace_back(piece.node.begin(), piece.node.end());
    for (const Attachment& a : structure.attachments) groups.push_back(a.nodes);
    return groups;
}

/// s(f) of a damping material: its complex modulus against the one at the reference, see complex_modes.h.
auto change_of(const Material& material, double temperature, double reference_Hz)
{
    const DampingPoint at_reference = damping_at(material.damping, temperature, reference_Hz);
    return [table = material.damping, temperature, at_reference](double f_Hz) {
        using C = std::complex<double>;
        const DampingPoint p = damping_at(table, temperature, f_Hz);
        return p.G.value / at_reference.G.value * C(1, p.eta.value) - C(1, at_reference.eta.value);
    };
}

/// Stiffness per relative change of one material's modulus: exact for films and for A, B, D; central difference for
/// A_s.
SparseMatrix stiffness_per_change(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                  int material)
{
    constexpr double step = 1e-3;
    const auto scaled = [&](double factor) {
        std::vector<Material> materials = structure.materials;
        Material& m = materials[static_cast<std::size_t>(material)];
        for (Quantity* q : {&m.E1, &m.E2, &m.E3, &m.G12, &m.G13, &m.G23}) q->value *= factor;
        return materials;
    };
    std::vector<std::optional<Section>> slopes;
    for (const SectionGroup& group : structure.groups) {
        const Section high = group_section(group, cabinet, scaled(1 + step)),
                      low = group_section(group, cabinet, scaled(1 - step));
        const bool is_touched = (high.C - low.C).norm() > 1e-9 * high.C.norm();
        slopes.push_back(is_touched ? std::optional(slope(high, low, 2 * step)) : std::nullopt);
    }
    std::vector<std::vector<int>> groups;
    const auto uses = [&](const ShellPiece& p) { return slopes[static_cast<std::size_t>(p.group)].has_value(); };
    const auto is_film = [&](const FilmPiece& p) {
        return structure.films[static_cast<std::size_t>(p.group)].material == material;
    };
    for (const ShellPiece& p : structure.pieces)
        if (uses(p)) groups.emplace_back(p.node.begin(), p.node.end());
    for (const FilmPiece& p : structure.film_pieces)
        if (is_film(p)) groups.emplace_back(p.node.begin(), p.node.end());
    SystemBuilder builder(static_cast<int>(structure.nodes.cols()), groups);
    for (const ShellPiece& p : structure.pieces) {
        if (!uses(p)) continue;
        const auto points = shared(quad_points(cabinet, mesh, p.quad), p.share);
        builder.add(p.node, element_matrices(points, *slopes[static_cast<std::size_t>(p.group)]).K, {});
    }
    for (const FilmPiece& p : structure.film_pieces) {
        if (!is_film(p)) continue;
        const FilmGroup& film = structure.films[static_cast<std::size_t>(p.group)];
        const auto points = shared(quad_points(cabinet, mesh, p.quad), p.share);
        builder.add(p.node, film_matrix(points, quad_axis(cabinet, mesh, p.quad), film, stiffness_of(structure, film)),
                    {});
    }
    return builder.take().K.pruned();
}

} // namespace

std::vector<StrainPoint> quad_points(const Cabinet& cabinet, const ShellMesh& mesh, int quad)
{
    const auto& q = mesh.quads[static_cast<std::size_t>(quad)];
    return strain_points(nine_nodes(), element_nodes(mesh.nodes, q.node), quad_axis(cabinet, mesh, quad));
}

Eigen::Vector3d quad_axis(const Cabinet& cabinet, const ShellMesh& mesh, int quad)
{
    const auto& q = mesh.quads[static_cast<std::size_t>(quad)];
    return cabinet.board(q.board).frame.touching(mesh.nodes.col(q.node[8])).e1;
}

std::vector<StrainPoint> shared(std::vector<StrainPoint> points, const std::optional<Cover>& share)
{
    if (share)
        for (std::size_t i = 0; i < points.size(); ++i) points[i].weight *= (*share)[i];
    return points;
}

StructureMatrices assemble_structure(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure)
{
    StructureMatrices result;
    result.uniform_loss = uniform_loss(structure);
    const bool with_loss = !result.uniform_loss;
    SystemBuilder builder(static_cast<int>(structure.nodes.cols()), couplings(structure), with_loss);
    add_pieces(cabinet, mesh, structure, with_loss, builder);
    for (const Attachment& a : structure.attachments)
        builder.add(a.nodes, a.K, a.M, with_loss && a.K.size() > 0 ? MatrixXd(a.loss * a.K) : MatrixXd());
    result.system = builder.take();

    Eigen::VectorXd rigid = Eigen::VectorXd::Zero(result.system.M.cols());
    for (Eigen::Index i = 0; i < rigid.size(); i += 6) rigid[i] = 1;
    result.mass = rigid.dot(result.system.M * rigid);

    for (std::size_t m = 0; m < cabinet.materials.size(); ++m) {
        const Material& material = cabinet.materials[m];
        if (!depends_on_frequency(material)) continue;
        const SparseMatrix K = stiffness_per_change(cabinet, mesh, structure, static_cast<int>(m));
        if (K.nonZeros() == 0) continue;
        result.dependent.push_back({K, change_of(material, cabinet.temperature, structure.reference_Hz)});
    }
    std::vector<int> held;
    for (int node : structure.held)
        for (int k = 0; k < 6; ++k) held.push_back(6 * node + k);
    if (!held.empty()) {
        hold(result.system, held);
        for (auto& dependent : result.dependent) hold(dependent.K, held);
    }
    return result;
}

} // namespace stillwall::solver
