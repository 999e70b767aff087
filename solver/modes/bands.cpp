#include "solver/modes/bands.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

enum class Figure { InPlane, TransverseShear, Density };

constexpr double step = 1e-3;

/// The material with one group of figures scaled.
Material scaled(const Material& material, Figure figure, double factor)
{
    Material m = material;
    const auto scale = [factor](Quantity& q) { q.value *= factor; };
    switch (figure) {
    case Figure::InPlane:
        for (Quantity* q : {&m.E1, &m.E2, &m.G12}) scale(*q);
        if (m.is_isotropic) // one modulus moves all
            for (Quantity* q : {&m.G13, &m.G23}) scale(*q);
        break;
    case Figure::TransverseShear:
        if (!m.is_isotropic)
            for (Quantity* q : {&m.G13, &m.G23}) scale(*q);
        break;
    case Figure::Density: scale(m.rho); break;
    }
    return m;
}

/// The figure that stands for its group's range.
const Quantity& range_of(const Material& m, Figure figure)
{
    return figure == Figure::InPlane ? m.E1 : figure == Figure::TransverseShear ? m.G13 : m.rho;
}

/// Change of λ for each mode when the cabinet's materials are `varied`.
Eigen::VectorXd lambda_change(const Cabinet& cabinet, const Structure& structure,
                              const std::vector<ModeEnergy>& energies, const Eigen::VectorXd& lambda, int material,
                              const std::vector<Material>& varied)
{
    Eigen::VectorXd change = Eigen::VectorXd::Zero(lambda.size());
    for (std::size_t g = 0; g < structure.groups.size(); ++g) {
        const Board& board = cabinet.board(structure.groups[g].board);
        const bool uses = std::any_of(board.layup.plies.begin(), board.layup.plies.end(),
                                      [material](const Ply& ply) { return ply.material == material; });
        if (!uses) continue;
        const Section section = group_section(structure.groups[g], board, board.layup, varied);
        for (Eigen::Index m = 0; m < lambda.size(); ++m) {
            const auto& energy = energies[static_cast<std::size_t>(m)];
            change[m] += group_strain(energy, g, section) - group_strain(energy, g, structure.sections[g]) -
                         lambda[m] * (group_kinetic(energy, g, section) -
                                      group_kinetic(energy, g, structure.sections[g]));
        }
    }
    for (std::size_t a = 0; a < structure.attachments.size(); ++a) {
        const Attachment& attached = structure.attachments[a];
        if (attached.material != material) continue;
        const auto i = static_cast<std::size_t>(material);
        const double stiffer = varied[i].E1.value / cabinet.materials[i].E1.value - 1;
        const double heavier = varied[i].rho.value / cabinet.materials[i].rho.value - 1;
        for (Eigen::Index m = 0; m < lambda.size(); ++m) {
            const auto& energy = energies[static_cast<std::size_t>(m)];
            change[m] += stiffer * energy.attached_strain[a] - lambda[m] * heavier * energy.attached_kinetic[a];
        }
    }
    return change;
}

} // namespace

std::vector<Band> frequency_bands(const Cabinet& cabinet, const Structure& structure,
                                  const std::vector<ModeEnergy>& energies, const Eigen::VectorXd& lambda)
{
    std::vector<Band> squares(energies.size());
    for (std::size_t i = 0; i < cabinet.materials.size(); ++i)
        for (Figure figure : {Figure::InPlane, Figure::TransverseShear, Figure::Density}) {
            const auto change = [&](double factor) {
                std::vector<Material> varied = cabinet.materials;
                varied[i] = scaled(cabinet.materials[i], figure, factor);
                return lambda_change(cabinet, structure, energies, lambda, static_cast<int>(i), varied);
            };
            const Eigen::VectorXd sensitivity =
                (change(1 + step) - change(1 - step)).cwiseQuotient(2 * step * 2 * lambda);
            const Quantity& range = range_of(cabinet.materials[i], figure);
            const double to_high = std::log(range.high / range.value), to_low = std::log(range.low / range.value);
            for (std::size_t m = 0; m < squares.size(); ++m) {
                const double s = sensitivity[static_cast<Eigen::Index>(m)];
                squares[m].up += std::pow(std::max({s * to_high, s * to_low, 0.0}), 2);
                squares[m].down += std::pow(std::min({s * to_high, s * to_low, 0.0}), 2);
            }
        }
    for (Band& band : squares) band = {1 - std::exp(-std::sqrt(band.down)), std::exp(std::sqrt(band.up)) - 1};
    return squares;
}

} // namespace stillwall::solver
