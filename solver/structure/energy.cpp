#include "solver/structure/energy.h"

#include "solver/structure/section/damping.h"
#include "solver/structure/shell/film.h"

#include <Eigen/Geometry>

#include <algorithm>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector3d;

Moments empty_moments(const Structure& structure)
{
    Moments m;
    m.strain.assign(structure.groups.size(), Matrix8d::Zero());
    m.drilling.assign(structure.groups.size(), 0);
    m.kinetic.assign(structure.groups.size(), Eigen::Vector4d::Zero());
    m.film.assign(structure.films.size(), Vector3d::Zero());
    return m;
}

/// Strains and motion of one mode's part (real or imaginary) at a point.
struct Field
{
    Eigen::Matrix<double, 8, 1> strain;
    double drill;
    Vector3d u, beta;
    double spin;
};

void add_products(Moments& m, std::size_t group, double weight, const Field& a, const Field& b)
{
    m.strain[group].noalias() += 0.5 * weight * a.strain * b.strain.transpose();
    m.strain[group].noalias() += 0.5 * weight * b.strain * a.strain.transpose();
    m.drilling[group] += weight * a.drill * b.drill;
    m.kinetic[group] +=
        weight * Eigen::Vector4d(a.u.dot(b.u), a.u.dot(b.beta) + b.u.dot(a.beta), a.beta.dot(b.beta), a.spin * b.spin);
}

/// The real and imaginary parts of every mode as columns: re of mode k at k, im at n + k (absent for real shapes).
struct Parts
{
    MatrixXd columns;
    Index n = 0;
    bool is_real = true;
};

Parts parts_of(const Eigen::MatrixXcd& phi, bool is_real)
{
    Parts parts{MatrixXd(phi.rows(), (is_real ? 1 : 2) * phi.cols()), phi.cols(), is_real};
    parts.columns.leftCols(phi.cols()) = phi.real();
    if (!is_real) parts.columns.rightCols(phi.cols()) = phi.imag();
    return parts;
}

/// Where the products of the parts go.
struct Sums
{
    std::vector<Moments> aa, bb, ab;
};

Field field_at(const StrainPoint& p, const MatrixXd& part, const MatrixXd& strains, Index row, Index column)
{
    Field f{strains.col(column).segment<8>(row), strains(row + 8, column), Vector3d::Zero(), Vector3d::Zero(), 0};
    Vector3d theta = Vector3d::Zero();
    for (Index i = 0; i < p.N.size(); ++i) {
        f.u += p.N[i] * part.col(column).segment<3>(6 * i);
        theta += p.N[i] * part.col(column).segment<3>(6 * i + 3);
    }
    f.beta = theta.cross(p.normal);
    f.spin = theta.dot(p.normal);
    return f;
}

/// Adds one shell piece: strains of all points and modes by one product.
void add_piece(const std::vector<StrainPoint>& points, const MatrixXd& part, const Parts& parts, std::size_t group,
               Sums& sums, std::vector<double>* volume)
{
    const auto n_points = static_cast<Index>(points.size());
    MatrixXd B(9 * n_points, part.rows());
    for (Index p = 0; p < n_points; ++p) {
        B.middleRows<8>(9 * p) = points[static_cast<std::size_t>(p)].B;
        B.row(9 * p + 8) = points[static_cast<std::size_t>(p)].drill;
    }
    const MatrixXd strains = B * part;
    for (Index k = 0; k < parts.n; ++k)
        for (Index p = 0; p < n_points; ++p) {
            const StrainPoint& point = points[static_cast<std::size_t>(p)];
            const auto mode = static_cast<std::size_t>(k);
            const Field a = field_at(point, part, strains, 9 * p, k);
            add_products(sums.aa[mode], group, point.weight, a, a);
            if (volume) (*volume)[mode] += point.weight * a.u.dot(point.normal);
            if (parts.is_real) continue;
            const Field b = field_at(point, part, strains, 9 * p, parts.n + k);
            add_products(sums.bb[mode], group, point.weight, b, b);
            add_products(sums.ab[mode], group, point.weight, a, b);
        }
}

void add_film(const std::vector<FilmPoint>& points, const MatrixXd& part, const Parts& parts, std::size_t film,
              Sums& sums)
{
    for (const FilmPoint& point : points) {
        const MatrixXd e = point.B * part;
        for (Index k = 0; k < parts.n; ++k) {
            const auto mode = static_cast<std::size_t>(k);
            sums.aa[mode].film[film] += point.weight * e.col(k).cwiseAbs2();
            if (parts.is_real) continue;
            sums.bb[mode].film[film] += point.weight * e.col(parts.n + k).cwiseAbs2();
            sums.ab[mode].film[film] += point.weight * e.col(k).cwiseProduct(e.col(parts.n + k));
        }
    }
}

void add_attachment(const Attachment& a, const MatrixXd& part, const Parts& parts, Sums& sums)
{
    const MatrixXd none = MatrixXd::Zero(part.rows(), part.cols());
    const MatrixXd Kp = a.K.size() > 0 ? MatrixXd(a.K * part) : none, Mp = a.M.size() > 0 ? MatrixXd(a.M * part) : none;
    const auto push = [&](Moments& m, Index i, Index j) {
        m.attached_strain.push_back(part.col(i).dot(Kp.col(j)));
        m.attached_kinetic.push_back(part.col(i).dot(Mp.col(j)));
    };
    for (Index k = 0; k < parts.n; ++k) {
        const auto mode = static_cast<std::size_t>(k);
        push(sums.aa[mode], k, k);
        if (parts.is_real) continue;
        push(sums.bb[mode], parts.n + k, parts.n + k);
        push(sums.ab[mode], k, parts.n + k);
    }
}

/// a + factor b, item by item.
template <class T> std::vector<T> sum(const std::vector<T>& a, double factor, const std::vector<T>& b)
{
    std::vector<T> result = a;
    for (std::size_t i = 0; i < a.size(); ++i) result[i] += factor * b[i];
    return result;
}

Moments sum(const Moments& a, double factor, const Moments& b)
{
    return {sum(a.strain, factor, b.strain),
            sum(a.drilling, factor, b.drilling),
            sum(a.kinetic, factor, b.kinetic),
            sum(a.film, factor, b.film),
            sum(a.attached_strain, factor, b.attached_strain),
            sum(a.attached_kinetic, factor, b.attached_kinetic)};
}

std::vector<ModeEnergy> combine(const Sums& sums, const Parts& parts, const std::vector<double>& volume)
{
    std::vector<ModeEnergy> energies;
    for (std::size_t k = 0; k < sums.aa.size(); ++k) {
        ModeEnergy e;
        e.is_real = parts.is_real;
        e.volume = volume[k];
        e.power = parts.is_real ? sums.aa[k] : sum(sums.aa[k], 1, sums.bb[k]);
        e.pair_re = parts.is_real ? sums.aa[k] : sum(sums.aa[k], -1, sums.bb[k]);
        if (!parts.is_real) e.pair_im = sum(sums.ab[k], 1, sums.ab[k]);
        energies.push_back(std::move(e));
    }
    return energies;
}

} // namespace

std::vector<ModeEnergy> mode_energies(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                      const Eigen::MatrixXcd& phi, bool is_real)
{
    const Parts parts = parts_of(phi, is_real);
    const auto n = static_cast<std::size_t>(parts.n);
    const std::vector<Moments> none(n, empty_moments(structure));
    Sums sums{none, is_real ? std::vector<Moments>{} : none, is_real ? std::vector<Moments>{} : none};
    std::vector<double> volume(n, 0);
    for (const ShellPiece& piece : structure.pieces) {
        const auto group = static_cast<std::size_t>(piece.group);
        const SectionGroup& g = structure.groups[group];
        const bool is_outside = g.is_base && cabinet.board(g.board).kind == Board::Kind::Wall;
        add_piece(shared(quad_points(cabinet, mesh, piece.quad), piece.share), rows_of(parts.columns, piece.node),
                  parts, group, sums, is_outside ? &volume : nullptr);
    }
    for (const FilmPiece& piece : structure.film_pieces) {
        const FilmGroup& film = structure.films[static_cast<std::size_t>(piece.group)];
        add_film(film_points(shared(quad_points(cabinet, mesh, piece.quad), piece.share),
                             quad_axis(cabinet, mesh, piece.quad), film.z_bottom, film.thickness),
                 rows_of(parts.columns, piece.node), parts, static_cast<std::size_t>(piece.group), sums);
    }
    for (const RimTap& tap : structure.taps) { // what closes a wall's opening moves air with it
        if (cabinet.board(tap.board).kind != Board::Kind::Wall) continue;
        const Eigen::RowVectorXd out = tap_motion(tap, parts.columns);
        for (std::size_t k = 0; k < n; ++k) volume[k] += tap.area * out[static_cast<Index>(k)];
    }
    for (const Attachment& a : structure.attachments) add_attachment(a, rows_of(parts.columns, a.nodes), parts, sums);
    return combine(sums, parts, volume);
}

std::vector<ModeEnergy> with_attachments(std::vector<ModeEnergy> energies, const Structure& structure,
                                         const Eigen::MatrixXcd& phi)
{
    if (energies.empty()) return energies;
    const Parts parts = parts_of(phi, energies.front().is_real);
    const std::vector<Moments> none(energies.size());
    Sums sums{none, none, none};
    for (const Attachment& a : structure.attachments) add_attachment(a, rows_of(parts.columns, a.nodes), parts, sums);
    const auto fresh = combine(sums, parts, std::vector<double>(energies.size(), 0));
    const auto copy = [](Moments& to, const Moments& from) {
        to.attached_strain = from.attached_strain;
        to.attached_kinetic = from.attached_kinetic;
    };
    for (std::size_t m = 0; m < energies.size(); ++m) {
        copy(energies[m].power, fresh[m].power);
        copy(energies[m].pair_re, fresh[m].pair_re);
        if (!energies[m].is_real) copy(energies[m].pair_im, fresh[m].pair_im);
    }
    return energies;
}

StructureState state_at(const Cabinet& cabinet, const Structure& structure, double f_Hz)
{
    StructureState state;
    state.sections = structure.sections;
    state.materials = materials_at(cabinet.materials, cabinet.temperature, f_Hz);
    const std::vector<Material>& materials = state.materials;
    const auto changes = [&](const Ply& ply) {
        return depends_on_frequency(materials[static_cast<std::size_t>(ply.material)]);
    };
    for (std::size_t g = 0; g < structure.groups.size(); ++g) {
        const SectionGroup& group = structure.groups[g];
        const Stack stack = make_stack(cabinet, group.board, group.layers, group.soft, group.rebate);
        if (std::any_of(stack.plies.begin(), stack.plies.end(), changes))
            state.sections[g] = group_section(group, cabinet, materials);
    }
    for (const FilmGroup& film : structure.films) {
        const Material& m = materials[static_cast<std::size_t>(film.material)];
        state.film_k.push_back(film_stiffness(m.G13.value, m.nu12.value, film.thickness));
        state.film_loss.push_back(m.eta.value);
    }
    state.attached_stiffness.assign(structure.attachments.size(), 1);
    state.attached_mass.assign(structure.attachments.size(), 1);
    for (const Attachment& a : structure.attachments) state.attached_loss.push_back(a.loss);
    return state;
}

Energy group_energy(const Moments& moments, std::size_t group, const Section& section)
{
    const double drilling = drilling_factor * section.G12_mean * section.thickness * moments.drilling[group];
    return {section.C.cwiseProduct(moments.strain[group]).sum() + drilling,
            section.C_loss.cwiseProduct(moments.strain[group]).sum() +
                drilling * section.C_loss(2, 2) / section.C(2, 2),
            moments.kinetic[group].dot(
                Eigen::Vector4d(section.mass, section.mass_moment, section.mass_inertia, section.spin_inertia()))};
}

Energy film_energy(const Moments& moments, std::size_t film, const StructureState& state)
{
    const double strain = state.film_k[film].dot(moments.film[film]);
    return {strain, state.film_loss[film] * strain, 0};
}

Energy attached_energy(const Moments& moments, std::size_t attachment, const StructureState& state)
{
    const double strain = state.attached_stiffness[attachment] * moments.attached_strain[attachment];
    return {strain, state.attached_loss[attachment] * strain,
            state.attached_mass[attachment] * moments.attached_kinetic[attachment]};
}

Energy total_energy(const Moments& moments, const StructureState& state)
{
    Energy total;
    for (std::size_t g = 0; g < state.sections.size(); ++g) total += group_energy(moments, g, state.sections[g]);
    for (std::size_t f = 0; f < state.film_k.size(); ++f) total += film_energy(moments, f, state);
    for (std::size_t a = 0; a < state.attached_loss.size(); ++a) total += attached_energy(moments, a, state);
    return total;
}

PairEnergy pair_energy(const ModeEnergy& energy, const StructureState& state)
{
    using C = std::complex<double>;
    const Energy re = total_energy(energy.pair_re, state);
    const Energy im = energy.is_real ? Energy{} : total_energy(energy.pair_im, state);
    return {C(re.strain, im.strain) + C(0, 1) * C(re.loss, im.loss), C(re.kinetic, im.kinetic)};
}

} // namespace stillwall::solver
