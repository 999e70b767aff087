#include "app/input/internal/wood_note.h"

#include "app/input/internal/own_material.h"
#include "app/input/stock_material.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

constexpr Limits wood_density{300, 1300}, wood_modulus{1e9, 16e9};

bool is_within(double value, Limits limits)
{
    return value >= limits.low && value <= limits.high;
}

} // namespace

std::vector<std::string> wood_notes(const YamlNode& materials, const MaterialLibrary& library)
{
    std::vector<std::string> notes;
    for (const YamlNode::Entry& entry : materials.entries()) {
        const YamlNode& node = entry.value;
        if (!node.has("E") || node.has("like")) continue;
        const Material m = read_own_material(entry.key, node);
        if (!is_within(m.rho.value, wood_density) || !is_within(m.E1.value, wood_modulus)) continue;
        const Stock* board = nearest_stock(library, {m.E1.value, 0, m.rho.value, 0},
                                           [](const Stock& s) { return symmetry_of(s) != StockSymmetry::Isotropic; });
        const bool is_alike = board && symmetry_of(*board) == StockSymmetry::InPlane;
        const std::string remedy =
            is_alike ? fmt::format("write {{like: {}, E: …}}, which takes the rest from that stock", board->info.name)
                     : "write {like: STOCK, …} with the stock it is most like, which takes the rest from there";
        notes.emplace_back(
            InputError(
                node.where(), node.path(),
                fmt::format("E alone makes it as stiff in every direction, but wood and boards are 2 to 50 times "
                            "softer in shear through their thickness, and walls of them ring lower by up to a "
                            "third; {}, or give E1 to nu23 (a plastic: like: acrylic)",
                            remedy))
                .what());
    }
    return notes;
}

} // namespace stillwall::app
