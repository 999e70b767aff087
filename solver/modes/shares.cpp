#include "solver/modes/shares.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::solver {
namespace {

using Kind = LossShare::Kind;

/// The cabinet in which only the plies of one layer lose energy.
Cabinet only_layer_loses(const Cabinet& cabinet, std::vector<Material>& materials, int layer)
{
    Cabinet c = cabinet;
    const auto n = static_cast<int>(materials.size());
    for (int i = 0; i < n; ++i) {
        materials.push_back(materials[static_cast<std::size_t>(i)]);
        materials[static_cast<std::size_t>(i)].eta.value = materials[static_cast<std::size_t>(i)].eta2.value = 0;
    }
    for (Ply& ply : c.layers[static_cast<std::size_t>(layer)].layup.plies) ply.material += n;
    return c;
}

Kind kind_of(Attachment::Kind kind)
{
    switch (kind) {
    case Attachment::Kind::Support:
        return Kind::Support;
    case Attachment::Kind::Spring:
        return Kind::Joint;
    case Attachment::Kind::Mount:
    case Attachment::Kind::RearTie:
        return Kind::Driver;
    case Attachment::Kind::Basket:
    case Attachment::Kind::BasketRocking:
        return Kind::Basket;
    case Attachment::Kind::Rib:
    case Attachment::Kind::Rod:
    case Attachment::Kind::Tie:
        return Kind::Bar;
    default:
        return Kind::Board;
    }
}

} // namespace

Shares::Shares(const Cabinet& cabinet, const Structure& structure) : cabinet_(cabinet), structure_(structure)
{
    for (const SectionGroup& group : structure.groups) {
        std::vector<LayerLoss> list;
        for (int layer : group.layers) {
            std::vector<Material> materials = structure.materials;
            const Cabinet varied = only_layer_loses(cabinet, materials, layer);
            list.push_back({layer, group_section(group, varied, materials).C_loss});
        }
        layers_.push_back(std::move(list));
    }
}

void Shares::fill(const ModeEnergy& energy, const StructureState& state, Mode& mode) const
{
    std::map<std::pair<Kind, std::string>, double> losses;
    mode.boards.assign(cabinet_.boards.size(), {});
    Energy total;
    double in_supports = 0;
    std::map<std::string, double> in_mounts, in_baskets;
    const auto add = [&](int board, const Energy& e) {
        mode.boards[static_cast<std::size_t>(board)].kinetic += e.kinetic;
        mode.boards[static_cast<std::size_t>(board)].strain += e.strain;
        total += e;
    };
    const auto layer_name = [&](int layer) { return cabinet_.layers[static_cast<std::size_t>(layer)].name; };
    for (std::size_t g = 0; g < structure_.groups.size(); ++g) {
        const SectionGroup& group = structure_.groups[g];
        const Energy e = group_energy(energy.power, g, state.sections[g]);
        add(group.board, e);
        double of_board = e.loss;
        for (const LayerLoss& l : layers_[g]) {
            const double loss = l.C_loss.cwiseProduct(energy.power.strain[g]).sum();
            losses[{Kind::Layer, layer_name(l.layer)}] += loss;
            of_board -= loss;
        }
        losses[{Kind::Board, cabinet_.board(group.board).name}] += of_board;
    }
    for (std::size_t f = 0; f < structure_.films.size(); ++f) {
        const FilmGroup& film = structure_.films[f];
        const Energy e = film_energy(energy.power, f, state);
        add(film.board, e);
        const bool is_board = film.film.layer < 0;
        losses[{Kind::Layer, is_board ? "film in " + cabinet_.board(film.board).name : layer_name(film.film.layer)}] +=
            e.loss;
    }
    for (std::size_t a = 0; a < structure_.attachments.size(); ++a) {
        const Attachment& attached = structure_.attachments[a];
        const Energy e = attached_energy(energy.power, a, state);
        add(attached.board, e);
        const Kind kind = kind_of(attached.kind);
        losses[{kind, kind == Kind::Board ? cabinet_.board(attached.board).name : attached.name}] += e.loss;
        if (kind == Kind::Support) in_supports += e.strain;
        if (attached.kind == Attachment::Kind::Mount) in_mounts[attached.name] += e.strain;
        if (kind == Kind::Basket) in_baskets[attached.name] += e.strain;
    }
    mode.moves_whole = in_supports > 0.7 * total.strain;
    for (const auto& [driver, strain] : in_mounts)
        if (strain > 0.5 * total.strain) mode.on_mount = driver;
    for (const auto& [driver, strain] : in_baskets)
        if (strain > 0.5 * total.strain) mode.on_basket = driver;
    for (BoardShare& share : mode.boards) share = {share.kinetic / total.kinetic, share.strain / total.strain};
    mode.loss = total.loss / total.strain;
    mode.losses.clear();
    for (const auto& [part, loss] : losses)
        if (loss > 0) mode.losses.push_back({part.first, part.second, loss / total.loss});
    // Twins of a symmetrical cabinet keep their order, whatever round-off says.
    const auto thousandths = [](const LossShare& loss) { return std::round(1e3 * loss.share); };
    std::stable_sort(mode.losses.begin(), mode.losses.end(),
                     [&](const LossShare& a, const LossShare& b) { return thousandths(a) > thousandths(b); });
}

} // namespace stillwall::solver
