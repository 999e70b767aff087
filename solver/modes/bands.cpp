#include "solver/modes/bands.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::solver {
namespace {

enum class Figure { InPlane, TransverseShear, Density, Loss };

constexpr double step = 1e-3;
using C = std::complex<double>;

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
    case Figure::Loss:
        for (Quantity* q : {&m.eta, &m.eta2}) scale(*q);
        break;
    }
    return m;
}

/// The figure that stands for its group's range.
const Quantity& range_of(const Material& m, Figure figure)
{
    return figure == Figure::InPlane ? m.E1
           : figure == Figure::TransverseShear ? m.G13
           : figure == Figure::Density ? m.rho
                                       : m.eta;
}

/// Change of a mode's stiffness and mass, per unit of ln p.
struct Change
{
    C stiffness = 0, mass = 0;
};

/// Adds factor × an item's energy, from the pair's real and imaginary moments.
template<class EnergyOf>
void add(Change& change, const ModeEnergy& mode, double factor, const EnergyOf& energy_of)
{
    const Energy re = energy_of(mode.pair_re), im = mode.is_real ? Energy{} : energy_of(mode.pair_im);
    change.stiffness += factor * (C(re.strain, im.strain) + C(0, 1) * C(re.loss, im.loss));
    change.mass += factor * C(re.kinetic, im.kinetic);
}

/// Sections of the groups that one material's figure touches, a step up and a step down.
struct VariedGroup
{
    std::size_t group;
    Section high, low;
};

std::vector<VariedGroup> varied_groups(const Cabinet& cabinet, const Structure& structure, int material, Figure figure)
{
    const auto varied = [&](double factor) {
        std::vector<Material> materials = structure.materials;
        Material& m = materials[static_cast<std::size_t>(material)];
        m = scaled(m, figure, factor);
        return materials;
    };
    const std::vector<Material> high = varied(1 + step), low = varied(1 - step);
    std::vector<VariedGroup> groups;
    for (std::size_t g = 0; g < structure.groups.size(); ++g) {
        const SectionGroup& group = structure.groups[g];
        const Stack stack = make_stack(cabinet, group.board, group.layers, group.soft);
        if (std::any_of(stack.plies.begin(), stack.plies.end(), [&](const Ply& p) { return p.material == material; }))
            groups.push_back({g, group_section(group, cabinet, high), group_section(group, cabinet, low)});
    }
    return groups;
}

/// Effect of ln p of one material's figure on a mode.
Change material_change(const Structure& structure, const StructureState& state, const ModeEnergy& mode,
                       const std::vector<VariedGroup>& groups, int material, Figure figure)
{
    Change change;
    for (const VariedGroup& v : groups) {
        add(change, mode, 1 / (2 * step), [&](const Moments& m) { return group_energy(m, v.group, v.high); });
        add(change, mode, -1 / (2 * step), [&](const Moments& m) { return group_energy(m, v.group, v.low); });
    }
    const bool is_stiffness = figure == Figure::InPlane, is_loss = figure == Figure::Loss, is_mass = figure == Figure::Density;
    const auto only = [&](Energy e) { // what of an item's energy goes with the figure itself
        if (!is_stiffness) e.strain = 0;
        if (!is_stiffness && !is_loss) e.loss = 0;
        if (!is_mass) e.kinetic = 0;
        return e;
    };
    for (std::size_t f = 0; f < structure.films.size(); ++f)
        if (structure.films[f].material == material)
            add(change, mode, 1, [&](const Moments& m) { return only(film_energy(m, f, state)); });
    for (std::size_t a = 0; a < structure.attachments.size(); ++a)
        if (structure.attachments[a].material == material)
            add(change, mode, 1, [&](const Moments& m) { return only(attached_energy(m, a, state)); });
    return change;
}

/// Sums the squares of a figure's effects.
class Squares
{
public:
    void add(const LossyMode& mode, const Change& change, const Quantity& range)
    {
        if (!(range.value > 0) || !(range.low > 0)) return; // nothing is known of the range
        const Slope slope = slope_of(mode, change.stiffness, change.mass);
        const double to_high = std::log(range.high / range.value), to_low = std::log(range.low / range.value);
        widen(slope.ln_f, to_high, to_low, band_.down, band_.up);
        if (mode.loss() > 0) widen(slope.loss / mode.loss(), to_high, to_low, band_.loss_down, band_.loss_up);
    }

    [[nodiscard]] Band band() const
    {
        const auto down = [](double square) { return 1 - std::exp(-std::sqrt(square)); };
        const auto up = [](double square) { return std::exp(std::sqrt(square)) - 1; };
        return {down(band_.down), up(band_.up), down(band_.loss_down), up(band_.loss_up)};
    }

private:
    static void widen(double slope, double to_high, double to_low, double& down, double& up)
    {
        up += std::pow(std::max({slope * to_high, slope * to_low, 0.0}), 2);
        down += std::pow(std::min({slope * to_high, slope * to_low, 0.0}), 2);
    }
    Band band_; ///< squares
};

/// Attachments that are one joint's, support's, mount's or rear tie's springs, and so share their ranges: their indices.
std::map<std::pair<Attachment::Kind, std::string>, std::vector<std::size_t>> springs_of(const Structure& structure)
{
    using Kind = Attachment::Kind;
    std::map<std::pair<Kind, std::string>, std::vector<std::size_t>> springs;
    for (std::size_t a = 0; a < structure.attachments.size(); ++a) {
        const Attachment& attached = structure.attachments[a];
        for (Kind kind : {Kind::Spring, Kind::Support, Kind::Mount, Kind::RearTie})
            if (attached.kind == kind) springs[{kind, attached.name}].push_back(a);
    }
    return springs;
}

} // namespace

std::vector<Band> modes_bands(const Cabinet& cabinet, const Structure& structure, const std::vector<ModeEnergy>& energies,
                              const std::vector<LossyMode>& modes, const std::vector<StructureState>& states)
{
    std::vector<Squares> squares(modes.size());
    for (std::size_t i = 0; i < cabinet.materials.size(); ++i)
        for (Figure figure : {Figure::InPlane, Figure::TransverseShear, Figure::Density, Figure::Loss}) {
            const auto groups = varied_groups(cabinet, structure, static_cast<int>(i), figure);
            for (std::size_t m = 0; m < modes.size(); ++m)
                squares[m].add(modes[m],
                               material_change(structure, states[m], energies[m], groups, static_cast<int>(i), figure),
                               range_of(states[m].materials[i], figure));
        }
    for (const auto& [part, attached] : springs_of(structure))
        for (bool is_loss : {false, true})
            for (std::size_t m = 0; m < modes.size(); ++m) {
                Change change;
                for (std::size_t a : attached)
                    add(change, energies[m], 1, [&](const Moments& moments) {
                        Energy e = attached_energy(moments, a, states[m]);
                        if (is_loss) e.strain = 0;
                        return e;
                    });
                const Attachment& spring = structure.attachments[attached.front()];
                squares[m].add(modes[m], change, is_loss ? spring.loss_range : spring.stiffness_range);
            }
    std::vector<Band> bands;
    for (const Squares& s : squares) bands.push_back(s.band());
    return bands;
}

} // namespace stillwall::solver
