#include "solver/modes/bands.h"

#include "mesh/cabinet/stock_name.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace stillwall::solver {
namespace {

using Figure = UncertainFigure::Kind;

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
    case Figure::Density:
        scale(m.rho);
        break;
    case Figure::Loss:
        for (Quantity* q : {&m.eta, &m.eta2}) scale(*q);
        break;
    case Figure::SpringStiffness:
    case Figure::MotorStiffness:
    case Figure::SpringLoss:
    case Figure::RimShare:
        break; // not of a material
    }
    return m;
}

/// The figure that stands for its group's range.
const Quantity& range_of(const Material& m, Figure figure)
{
    return figure == Figure::InPlane           ? m.E1
           : figure == Figure::TransverseShear ? m.G13
           : figure == Figure::Density         ? m.rho
                                               : m.eta;
}

/// Change of a mode's stiffness and mass, per unit of ln p.
struct Change
{
    C stiffness = 0, mass = 0;
};

/// Adds factor × an item's energy, from the pair's real and imaginary moments.
template <class EnergyOf> void add(Change& change, const ModeEnergy& mode, double factor, const EnergyOf& energy_of)
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
        const Stack stack = make_stack(cabinet, group.board, group.layers, group.soft, group.rebate);
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
    const bool is_stiffness = figure == Figure::InPlane, is_loss = figure == Figure::Loss,
               is_mass = figure == Figure::Density;
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

/// Collects columns of a Sensitivity.
class Columns
{
public:
    explicit Columns(const std::vector<LossyMode>& modes) : modes_(modes) {}

    /// @param change_of, range_of  of a mode
    template <class ChangeOf, class RangeOf>
    void add(UncertainFigure figure, const ChangeOf& change_of, const RangeOf& range_of)
    {
        const auto n = static_cast<Eigen::Index>(modes_.size());
        Eigen::MatrixX4d column = Eigen::MatrixX4d::Zero(n, 4);
        for (Eigen::Index m = 0; m < n; ++m) {
            const LossyMode& mode = modes_[static_cast<std::size_t>(m)];
            const Quantity& range = range_of(m);
            if (!(range.value > 0) || !(range.low > 0)) continue; // nothing is known of the range
            const Change change = change_of(m);
            const Slope slope = slope_of(mode, change.stiffness, change.mass);
            column.row(m) << slope.ln_f, mode.loss() > 0 ? slope.loss / mode.loss() : 0,
                std::log(range.low / range.value), std::log(range.high / range.value);
        }
        if (column.rightCols(2).isZero(0)) return;
        figures_.push_back(std::move(figure));
        columns_.push_back(std::move(column));
    }

    [[nodiscard]] Sensitivity all() const
    {
        Sensitivity s;
        s.figures = figures_;
        const auto n = static_cast<Eigen::Index>(modes_.size()), p = static_cast<Eigen::Index>(figures_.size());
        for (Eigen::MatrixXd* matrix : {&s.ln_f, &s.ln_loss, &s.to_low, &s.to_high}) matrix->resize(n, p);
        for (Eigen::Index i = 0; i < p; ++i) {
            const Eigen::MatrixX4d& column = columns_[static_cast<std::size_t>(i)];
            s.ln_f.col(i) = column.col(0);
            s.ln_loss.col(i) = column.col(1);
            s.to_low.col(i) = column.col(2);
            s.to_high.col(i) = column.col(3);
        }
        return s;
    }

private:
    const std::vector<LossyMode>& modes_;
    std::vector<UncertainFigure> figures_;
    std::vector<Eigen::MatrixX4d> columns_; ///< ln f, ln η, to low, to high; a mode a row
};

/// Attachments that hang on one uncertain figure, by the name of their part: their indices.
using Together = std::vector<std::pair<std::string, std::vector<std::size_t>>>;

/// Springs of one joint, support, mount, rear tie, basket or flange with one range.
Together springs_of(const Structure& structure)
{
    using Kind = Attachment::Kind;
    std::map<std::tuple<Kind, std::string, double, double>, std::vector<std::size_t>> springs;
    for (std::size_t a = 0; a < structure.attachments.size(); ++a) {
        const Attachment& attached = structure.attachments[a];
        const Quantity& range = attached.stiffness_range;
        for (Kind kind :
             {Kind::Spring, Kind::Support, Kind::Mount, Kind::RearTie, Kind::Basket, Kind::BasketRocking, Kind::Rim})
            if (attached.kind == kind) springs[{kind, attached.name, range.low, range.high}].push_back(a);
    }
    Together together;
    for (auto& [key, indices] : springs) together.emplace_back(std::get<std::string>(key), std::move(indices));
    return together;
}

/// What goes with the share of a driver's mass along its rim; drivers are told apart by board too.
Together rim_shares_of(const Structure& structure)
{
    std::map<std::pair<int, std::string>, std::vector<std::size_t>> drivers;
    for (std::size_t a = 0; a < structure.attachments.size(); ++a) {
        const Attachment& attached = structure.attachments[a];
        if (attached.by_rim_share != 0) drivers[{attached.board, attached.name}].push_back(a);
    }
    Together together;
    for (auto& [key, indices] : drivers) together.emplace_back(key.second, std::move(indices));
    return together;
}

bool is_same(const Quantity& a, const Quantity& b)
{
    return a.value == b.value && a.low == b.low && a.high == b.high && a.source == b.source &&
           a.confirmed == b.confirmed;
}

/// Whether two materials have this figure from one entry of one stock: what is unknown of it is then the same in both.
bool is_one_figure(const Material& a, const Material& b, Figure figure)
{
    if (stock_name(a.name) != stock_name(b.name)) return false;
    if (figure == Figure::TransverseShear) return is_same(a.G13, b.G13) && is_same(a.G23, b.G23);
    return figure == Figure::Loss && is_same(a.eta, b.eta) && is_same(a.eta2, b.eta2);
}

/// Materials that share a figure with this one, itself among them, ascending.
std::vector<std::size_t> sharers_of(const std::vector<Material>& materials, std::size_t material, Figure figure)
{
    std::vector<std::size_t> sharers;
    for (std::size_t j = 0; j < materials.size(); ++j)
        if (j == material || is_one_figure(materials[material], materials[j], figure)) sharers.push_back(j);
    return sharers;
}

/// How the share of a driver's mass along its rim moves the modes.
void add_rim_shares(Columns& columns, const Structure& structure, const std::vector<ModeEnergy>& energies,
                    const std::vector<StructureState>& states)
{
    for (const auto& named : rim_shares_of(structure)) {
        const std::vector<std::size_t>& attached = named.second;
        columns.add(
            {Figure::RimShare, named.first},
            [&](Eigen::Index m) {
                const auto mode = static_cast<std::size_t>(m);
                Change change;
                for (std::size_t a : attached)
                    add(change, energies[mode], structure.attachments[a].by_rim_share,
                        [&](const Moments& moments) { return attached_energy(moments, a, states[mode]); });
                return change;
            },
            [&](Eigen::Index) -> const Quantity& { return structure.attachments[attached.front()].rim_share_range; });
    }
}

} // namespace

Sensitivity sensitivity_of(const Cabinet& cabinet, const Structure& structure, const std::vector<ModeEnergy>& energies,
                           const std::vector<LossyMode>& modes, const std::vector<StructureState>& states)
{
    const auto at = [](Eigen::Index m) { return static_cast<std::size_t>(m); };
    Columns columns(modes);
    for (std::size_t i = 0; i < cabinet.materials.size(); ++i)
        for (Figure figure : {Figure::InPlane, Figure::TransverseShear, Figure::Density, Figure::Loss}) {
            const std::vector<std::size_t> sharers = sharers_of(cabinet.materials, i, figure);
            if (sharers.front() < i) continue; // its column is there
            std::vector<std::vector<VariedGroup>> groups;
            for (std::size_t j : sharers)
                groups.push_back(varied_groups(cabinet, structure, static_cast<int>(j), figure));
            const std::string& name = cabinet.materials[i].name;
            columns.add(
                {figure, sharers.size() > 1 ? std::string(stock_name(name)) : name},
                [&](Eigen::Index m) {
                    Change sum;
                    for (std::size_t s = 0; s < sharers.size(); ++s) {
                        const Change one = material_change(structure, states[at(m)], energies[at(m)], groups[s],
                                                           static_cast<int>(sharers[s]), figure);
                        sum.stiffness += one.stiffness;
                        sum.mass += one.mass;
                    }
                    return sum;
                },
                [&](Eigen::Index m) -> const Quantity& { return range_of(states[at(m)].materials[i], figure); });
        }
    for (const auto& named : springs_of(structure)) {
        const auto& name = named.first; // no structured binding: clang 14 takes none into a lambda
        const std::vector<std::size_t>& attached = named.second;
        for (bool is_loss : {false, true}) {
            const Attachment& spring = structure.attachments[attached.front()];
            columns.add(
                {is_loss                                   ? Figure::SpringLoss
                 : spring.kind == Attachment::Kind::Basket ? Figure::MotorStiffness
                                                           : Figure::SpringStiffness,
                 name},
                [&](Eigen::Index m) {
                    Change change;
                    for (std::size_t a : attached)
                        add(change, energies[at(m)], 1, [&](const Moments& moments) {
                            Energy e = attached_energy(moments, a, states[at(m)]);
                            if (is_loss) e.strain = 0;
                            return e;
                        });
                    return change;
                },
                [&](Eigen::Index) -> const Quantity& { return is_loss ? spring.loss_range : spring.stiffness_range; });
        }
    }
    add_rim_shares(columns, structure, energies, states);
    return columns.all();
}

std::vector<Band> bands_of(const Sensitivity& s)
{
    const auto end = [](const Eigen::ArrayXd& slope, const Eigen::ArrayXd& high, const Eigen::ArrayXd& low,
                        double sign) {
        return std::sqrt((sign * slope * high).max(sign * slope * low).max(0).square().sum());
    };
    std::vector<Band> bands;
    for (Eigen::Index m = 0; m < s.n_modes(); ++m) {
        const Eigen::ArrayXd high = s.to_high.row(m), low = s.to_low.row(m);
        const auto down = [&](const auto& slope) { return 1 - std::exp(-end(slope.row(m), high, low, -1)); };
        const auto up = [&](const auto& slope) { return std::exp(end(slope.row(m), high, low, 1)) - 1; };
        bands.push_back({down(s.ln_f), up(s.ln_f), down(s.ln_loss), up(s.ln_loss)});
    }
    return bands;
}

std::vector<Band> bands_of(const Sensitivity& s, UncertainFigure::Kind kind)
{
    Sensitivity only = s;
    for (Eigen::Index i = 0; i < s.n_figures(); ++i)
        if (s.figures[static_cast<std::size_t>(i)].kind != kind) {
            only.to_low.col(i).setZero();
            only.to_high.col(i).setZero();
        }
    return bands_of(only);
}

} // namespace stillwall::solver
