#include "solver/modes/bands.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::solver {
namespace {

enum class Figure { InPlane, TransverseShear, Density };

/// The material with one group of figures at one end of its range (end = −1 or +1).
Material at_end(const Material& material, Figure figure, int end)
{
    Material m = material;
    const auto move = [end](Quantity& q) { q.value = end < 0 ? q.low : q.high; };
    switch (figure) {
    case Figure::InPlane:
        move(m.E1);
        move(m.E2);
        move(m.G12);
        if (m.is_isotropic) { // one modulus moves all
            move(m.G13);
            move(m.G23);
        }
        break;
    case Figure::TransverseShear:
        if (!m.is_isotropic) {
            move(m.G13);
            move(m.G23);
        }
        break;
    case Figure::Density: move(m.rho); break;
    }
    return m;
}

/// Change of λ for each mode when the cabinet's materials are `varied`.
Eigen::VectorXd lambda_change(const Cabinet& cabinet, const Structure& structure,
                              const std::vector<ModeEnergy>& energies, const Eigen::VectorXd& lambda, int material,
                              const std::vector<Material>& varied)
{
    Eigen::VectorXd change = Eigen::VectorXd::Zero(lambda.size());
    for (std::size_t g = 0; g < structure.groups.size(); ++g) {
        const Board& board = cabinet.boards.at(static_cast<std::size_t>(structure.groups[g].board));
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
            std::array<Eigen::VectorXd, 2> shift;
            for (int end : {-1, 1}) {
                std::vector<Material> varied = cabinet.materials;
                varied[i] = at_end(cabinet.materials[i], figure, end);
                shift[end < 0 ? 0 : 1] =
                    lambda_change(cabinet, structure, energies, lambda, static_cast<int>(i), varied)
                        .cwiseQuotient(2 * lambda);
            }
            for (std::size_t m = 0; m < squares.size(); ++m) {
                const auto k = static_cast<Eigen::Index>(m);
                const double up = std::max({shift[0][k], shift[1][k], 0.0});
                const double down = std::max({-shift[0][k], -shift[1][k], 0.0});
                squares[m].up += up * up;
                squares[m].down += down * down;
            }
        }
    for (Band& band : squares) band = {std::sqrt(band.down), std::sqrt(band.up)};
    return squares;
}

} // namespace stillwall::solver
