#include "solver/modes/energy.h"

#include <Eigen/Geometry>

#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector3d;

/// Adds one element: its strains and velocities at all integration points for all modes at once.
void add_element(const std::vector<StrainPoint>& points, const MatrixXd& phi, std::size_t group, bool is_wall,
                 std::vector<ModeEnergy>& energies)
{
    const auto n_points = static_cast<Index>(points.size());
    MatrixXd B(9 * n_points, phi.rows());
    for (Index p = 0; p < n_points; ++p) {
        const auto& point = points[static_cast<std::size_t>(p)];
        B.middleRows<8>(9 * p) = point.B;
        B.row(9 * p + 8) = point.drill;
    }
    const MatrixXd strains = B * phi;
    for (Index mode = 0; mode < phi.cols(); ++mode) {
        ModeEnergy& energy = energies[static_cast<std::size_t>(mode)];
        for (Index p = 0; p < n_points; ++p) {
            const auto& point = points[static_cast<std::size_t>(p)];
            const Eigen::Matrix<double, 8, 1> e = strains.col(mode).segment<8>(9 * p);
            energy.strain_moment[group].noalias() += point.weight * e * e.transpose();
            const double drill = strains(9 * p + 8, mode);
            energy.drilling[group] += point.weight * drill * drill;
            Vector3d u = Vector3d::Zero(), theta = Vector3d::Zero();
            for (Index i = 0; i < point.N.size(); ++i) {
                u += point.N[i] * phi.col(mode).segment<3>(6 * i);
                theta += point.N[i] * phi.col(mode).segment<3>(6 * i + 3);
            }
            const Vector3d beta = theta.cross(point.normal);
            energy.kinetic_moment[group] +=
                point.weight * Vector3d(u.squaredNorm(), 2 * u.dot(beta), theta.squaredNorm());
            if (is_wall) energy.volume += point.weight * u.dot(point.normal);
        }
    }
}

} // namespace

std::vector<ModeEnergy> mode_energies(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                      const MatrixXd& phi)
{
    ModeEnergy empty;
    empty.strain_moment.assign(structure.groups.size(), Matrix8d::Zero());
    empty.drilling.assign(structure.groups.size(), 0);
    empty.kinetic_moment.assign(structure.groups.size(), Vector3d::Zero());
    std::vector<ModeEnergy> energies(static_cast<std::size_t>(phi.cols()), empty);
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        const auto& quad = mesh.quads[e];
        const Board& board = cabinet.board(quad.board);
        const auto points =
            strain_points(ElementFamily::Quad9, element_nodes(structure.nodes, quad.node), board.frame.e1);
        add_element(points, rows_of(phi, quad.node), static_cast<std::size_t>(structure.element_group[e]),
                    board.kind == Board::Kind::Wall, energies);
    }
    for (const RimTap& tap : structure.taps) { // what closes a wall's opening moves air with it
        if (cabinet.board(tap.board).kind != Board::Kind::Wall) continue;
        const Eigen::RowVectorXd out = tap_motion(tap, phi);
        for (Index mode = 0; mode < phi.cols(); ++mode)
            energies[static_cast<std::size_t>(mode)].volume += tap.area * out[mode];
    }
    for (const auto& a : structure.attachments) {
        const MatrixXd part = rows_of(phi, a.nodes);
        const MatrixXd Kp = a.K.size() > 0 ? MatrixXd(a.K * part) : MatrixXd::Zero(part.rows(), part.cols());
        const MatrixXd Mp = a.M.size() > 0 ? MatrixXd(a.M * part) : MatrixXd::Zero(part.rows(), part.cols());
        for (Index mode = 0; mode < phi.cols(); ++mode) {
            energies[static_cast<std::size_t>(mode)].attached_strain.push_back(part.col(mode).dot(Kp.col(mode)));
            energies[static_cast<std::size_t>(mode)].attached_kinetic.push_back(part.col(mode).dot(Mp.col(mode)));
        }
    }
    return energies;
}

double group_strain(const ModeEnergy& energy, std::size_t group, const Section& section)
{
    return section.C.cwiseProduct(energy.strain_moment[group]).sum() +
           drilling_factor * section.G12_mean * section.thickness * energy.drilling[group];
}

double group_loss(const ModeEnergy& energy, std::size_t group, const Section& section)
{
    const double drilling = drilling_factor * section.G12_mean * section.thickness * energy.drilling[group];
    return section.C_loss.cwiseProduct(energy.strain_moment[group]).sum() +
           drilling * section.C_loss(2, 2) / section.C(2, 2);
}

double group_kinetic(const ModeEnergy& energy, std::size_t group, const Section& section)
{
    return energy.kinetic_moment[group].dot(Vector3d(section.mass, section.mass_moment, section.mass_inertia));
}

} // namespace stillwall::solver
