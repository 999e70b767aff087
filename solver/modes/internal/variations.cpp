#include "solver/modes/internal/variations.h"

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::solver::internal {
namespace {

using Kind = Knob::Kind;

constexpr double length_probe =
    1e-5; // [m] truncation (probe/thickness)² and round-off 1e-13/(probe/thickness) both stay below 1e-6

/// A ply's material given a twin of its own, which `change` then alters.
template <class Change> void vary_ply(Cabinet& cabinet, Ply& ply, const Change& change)
{
    cabinet.materials.push_back(cabinet.materials[static_cast<std::size_t>(ply.material)]);
    ply.material = static_cast<int>(cabinet.materials.size()) - 1;
    change(cabinet.materials.back());
}

void scale_modulus(Material& m, double factor)
{
    for (Quantity* q : {&m.E1, &m.E2, &m.E3, &m.G12, &m.G13, &m.G23}) q->value *= factor;
    for (DampingPoint& p : m.damping) p.G.value *= factor;
}

void add_loss(Material& m, double loss)
{
    m.eta.value += loss;
    m.eta2.value += loss;
    for (DampingPoint& p : m.damping) p.eta.value += loss;
}

/// Change of a material by a knob of the given kind.
auto material_change(Kind kind, double p)
{
    return [kind, p](Material& m) {
        if (kind == Kind::Modulus || kind == Kind::LayerModulus) scale_modulus(m, std::exp(p));
        if (kind == Kind::Density) m.rho.value *= std::exp(p);
        if (kind == Kind::Loss || kind == Kind::LayerLoss) add_loss(m, p);
    };
}

Layup thicker(Layup layup, double by)
{
    const double factor = 1 + by / layup.thickness();
    for (Ply& ply : layup.plies) ply.thickness *= factor;
    return layup;
}

/// The lay-up of a board by name, in a plan.
Layup* layup_of(CabinetPlan& plan, const std::string& name)
{
    for (WallPlan& wall : plan.walls)
        if (wall.name == name) return &wall.layup;
    for (WallPlan* wall : {&plan.top, &plan.bottom})
        if (wall->name == name) return &wall->layup;
    for (BracePlan& brace : plan.braces)
        if (brace.name == name) return &brace.layup;
    return nullptr;
}

double density_of(const Cabinet& cabinet, const Layup& layup)
{
    double mass = 0;
    for (const Ply& ply : layup.plies)
        mass += ply.thickness * cabinet.materials[static_cast<std::size_t>(ply.material)].rho.value;
    return mass / layup.thickness();
}

void scale_frequencies(Basket& basket, double factor)
{
    for (Quantity* q : {&basket.axial_Hz, &basket.rocking_Hz}) q->value *= factor;
}

class Lister
{
public:
    Lister(const CabinetPlan& plan, const Cabinet& cabinet)
        : plan_(plan), cabinet_(cabinet), books_(bookkeeping(cabinet))
    {
    }

    std::vector<Variation> take() { return std::move(list_); }

    void boards()
    {
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b) {
            const Board& board = cabinet_.boards[b];
            const double area = books_.parts[b].area, rho = density_of(cabinet_, board.layup);
            const auto thickness = [&base = plan_, name = board.name](double p) {
                CabinetPlan plan = base;
                Layup* layup = layup_of(plan, name);
                *layup = thicker(*layup, p);
                return build_cabinet(plan);
            };
            if (CabinetPlan copy = plan_; layup_of(copy, board.name))
                add({Kind::Thickness, board.name, {}, 1e-3, area * rho * 1e-3}, thickness, length_probe, true);
            for (Kind kind : {Kind::Modulus, Kind::Density, Kind::Loss}) {
                const double step = kind == Kind::Loss ? 0.01 : std::log(1.1);
                const double mass = kind == Kind::Density ? 0.1 * books_.parts[b].mass : 0;
                add({kind, board.name, {}, step, mass}, [&base = cabinet_, b, kind](double p) {
                    Cabinet c = base;
                    for (Ply& ply : c.boards[b].layup.plies) vary_ply(c, ply, material_change(kind, p));
                    return c;
                });
            }
        }
    }

    /// Films inside a board are worth as much as a layer on it.
    void films()
    {
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b) {
            const Board& board = cabinet_.boards[b];
            for (std::size_t i = 0; i < board.layup.plies.size(); ++i) {
                if (material_of(board.layup.plies[i]).damping.empty()) continue;
                damping_knobs(board.name, board.layup, i,
                              [b, i](Cabinet& c) -> Ply& { return c.boards[b].layup.plies[i]; });
            }
        }
    }

    void layers()
    {
        for (std::size_t l = 0; l < cabinet_.layers.size(); ++l) {
            const FaceLayer& layer = cabinet_.layers[l];
            for (std::size_t i = 0; i < layer.layup.plies.size(); ++i) {
                const Ply& ply = layer.layup.plies[i];
                const double mass_per_thickness = layer.area * material_of(ply).rho.value;
                const double step = std::min(1e-3, ply.thickness / 4);
                add(
                    {Kind::LayerThickness, layer.name, ply_name(layer.layup, i), step, mass_per_thickness * step},
                    [&base = cabinet_, l, i](double p) {
                        Cabinet c = base;
                        c.layers[l].layup.plies[i].thickness += p;
                        return c;
                    },
                    std::min(length_probe, 1e-3 * ply.thickness), true);
                damping_knobs(layer.name, layer.layup, i,
                              [l, i](Cabinet& c) -> Ply& { return c.layers[l].layup.plies[i]; });
            }
        }
    }

    void joints()
    {
        std::map<std::string, double> losses;
        for (const Junction& junction : cabinet_.junctions)
            if (junction.spring) losses.emplace(junction.spring->name, junction.spring->loss.value);
        for (const auto& [name, loss] : losses)
            for (Kind kind : {Kind::JointStiffness, Kind::JointLoss})
                add({kind, name, {}, kind == Kind::JointLoss ? std::min(0.1, loss / 2) : std::log(2.0), 0},
                    [&base = cabinet_, name = name, kind](double p) {
                        Cabinet c = base;
                        for (Junction& junction : c.junctions) {
                            if (!junction.spring || junction.spring->name != name) continue;
                            LineSpring& s = *junction.spring;
                            if (kind == Kind::JointLoss)
                                s.loss.value += p;
                            else
                                for (Quantity* q : {&s.normal, &s.shear, &s.turning}) q->value *= std::exp(p);
                        }
                        return c;
                    });
    }

    void supports()
    {
        for (std::size_t s = 0; s < cabinet_.supports.size(); ++s) {
            if (cabinet_.supports[s].is_clamped_edge) continue;
            add({Kind::SupportStiffness, cabinet_.supports[s].name, {}, std::log(2.0), 0},
                [&base = cabinet_, s](double p) {
                    Cabinet c = base;
                    c.supports[s].stiffness *= std::exp(p);
                    return c;
                });
        }
    }

    void drivers()
    {
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
            for (std::size_t o = 0; o < cabinet_.boards[b].openings.size(); ++o) {
                const Opening& opening = cabinet_.boards[b].openings[o];
                const InsertPlan& insert = opening.insert;
                if (insert.kind != InsertPlan::Kind::Driver || !(insert.mass > 0)) continue;
                const std::string name = insert_name(opening);
                if (insert.basket) basket(name, b, o);
                add(
                    {Kind::DriverMass, name, {}, 0.1 * insert.mass, 0.1 * insert.mass},
                    [&base = cabinet_, b, o](double p) {
                        Cabinet c = base;
                        InsertPlan& heavier = c.boards[b].openings[o].insert;
                        heavier.mass += p;
                        if (heavier.basket) // on the same legs
                            scale_frequencies(*heavier.basket, std::sqrt(1 - p / heavier.mass));
                        return c;
                    },
                    1e-3 * insert.mass);
            }
    }

    void braces()
    {
        for (std::size_t b = 0; b < plan_.braces.size(); ++b) {
            if (!cabinet_.board_index(plan_.braces[b].name)) continue;
            add(
                {Kind::BracePosition, plan_.braces[b].name, {}, 5e-3, 0},
                [&base = plan_, b](double p) {
                    CabinetPlan plan = base;
                    BracePlan& brace = plan.braces[b];
                    brace.at += p;
                    brace.point += p * brace.normal.normalized();
                    return build_cabinet(plan);
                },
                1e-4, true);
        }
    }

private:
    [[nodiscard]] const Material& material_of(const Ply& ply) const
    {
        return cabinet_.materials[static_cast<std::size_t>(ply.material)];
    }

    /// The ply's material, numbered where the lay-up has it more than once.
    [[nodiscard]] std::string ply_name(const Layup& layup, std::size_t i) const
    {
        const auto& plies = layup.plies;
        const auto same = [&](const Ply& p) { return p.material == plies[i].material; };
        const auto upto = plies.begin() + static_cast<std::ptrdiff_t>(i);
        const std::string name = material_of(plies[i]).name;
        if (std::count_if(plies.begin(), plies.end(), same) == 1) return name;
        return name + " " + std::to_string(std::count_if(plies.begin(), upto, same) + 1);
    }

    static double material_step(Kind kind, const Material& m)
    {
        return kind == Kind::LayerLoss ? std::min(0.1, m.eta.value / 2) : std::log(1.5);
    }

    /// Modulus and loss of one ply.
    void damping_knobs(const std::string& name, const Layup& layup, std::size_t i,
                       const std::function<Ply&(Cabinet&)>& ply_in)
    {
        const Material& m = material_of(layup.plies[i]);
        for (Kind kind : {Kind::LayerModulus, Kind::LayerLoss})
            add({kind, name, ply_name(layup, i), material_step(kind, m), 0},
                [&base = cabinet_, ply_in, kind](double p) {
                    Cabinet c = base;
                    vary_ply(c, ply_in(c), material_change(kind, p));
                    return c;
                });
    }

    void basket(const std::string& driver, std::size_t board, std::size_t opening)
    {
        add({Kind::BasketStiffness, driver, {}, std::log(2.0), 0}, [&base = cabinet_, board, opening](double p) {
            Cabinet c = base;
            scale_frequencies(*c.boards[board].openings[opening].insert.basket, std::exp(p / 2));
            return c;
        });
    }

    void add(Knob knob, std::function<Cabinet(double)> cabinet, double probe = 1e-3, bool is_length = false)
    {
        list_.push_back({std::move(knob), std::move(cabinet), probe, is_length});
    }

    const CabinetPlan& plan_;
    const Cabinet& cabinet_;
    Bookkeeping books_;
    std::vector<Variation> list_;
};

} // namespace

std::vector<Variation> variations_of(const CabinetPlan& plan, const Cabinet& cabinet)
{
    Lister lister(plan, cabinet);
    lister.boards();
    lister.films();
    lister.layers();
    lister.joints();
    lister.supports();
    lister.drivers();
    lister.braces();
    return lister.take();
}

} // namespace stillwall::solver::internal
