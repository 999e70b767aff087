#include "app/input/internal/stock_reader.h"

#include "app/input/internal/nearest.h"
#include "app/input/internal/place.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits board_limits{1e-3, 0.2};
constexpr Limits layer_limits{1e-4, 0.2};
constexpr Limits turn_limits{-std::numbers::pi, std::numbers::pi};
constexpr std::size_t max_layers = 20;

/// A key of an own material, its name among make_material()'s figures, and what is possible.
struct FigureKey
{
    std::string_view key;
    std::string_view figure;
    Dimension dimension;
    Limits limits;
};

constexpr Limits modulus_limits{1e4, 1e12};
constexpr Limits poisson_limits{-0.99, 1.5}; // across the grain of wood nu may exceed 0.5
constexpr Limits loss_limits{0, 2};

constexpr FigureKey figure_keys[] = {
    {"E", "E", Dimension::Modulus, modulus_limits},      {"nu", "nu", Dimension::Number, poisson_limits},
    {"E1", "E1", Dimension::Modulus, modulus_limits},    {"E2", "E2", Dimension::Modulus, modulus_limits},
    {"E3", "E3", Dimension::Modulus, modulus_limits},    {"G12", "G12", Dimension::Modulus, modulus_limits},
    {"G13", "G13", Dimension::Modulus, modulus_limits},  {"G23", "G23", Dimension::Modulus, modulus_limits},
    {"nu12", "nu12", Dimension::Number, poisson_limits}, {"nu13", "nu13", Dimension::Number, poisson_limits},
    {"nu23", "nu23", Dimension::Number, poisson_limits}, {"density", "rho", Dimension::Density, {1, 25000}},
    {"loss", "eta", Dimension::Ratio, loss_limits},      {"loss_across", "eta2", Dimension::Ratio, loss_limits},
};

Quantity read_quantity(const YamlNode& node, const FigureKey& key)
{
    Quantity quantity;
    quantity.source = "cabinet file";
    if (!node.is_sequence()) {
        quantity.value = quantity.low = quantity.high = node.measure(key.dimension, key.limits);
        return quantity;
    }
    const std::vector<YamlNode> items = node.items(3);
    quantity.low = items[0].measure(key.dimension, key.limits);
    quantity.value = items[1].measure(key.dimension, key.limits);
    quantity.high = items[2].measure(key.dimension, key.limits);
    if (quantity.low > quantity.value || quantity.value > quantity.high)
        node.fail("three figures must be low, typical, high in this order");
    return quantity;
}

/// Reads the listed figures; those after `n_needed` may be absent.
std::map<std::string, Quantity> read_figures(const YamlNode& node, std::initializer_list<std::string_view> keys,
                                             std::size_t n_needed)
{
    node.only_keys(keys);
    std::map<std::string, Quantity> figures;
    std::size_t n = 0;
    for (std::string_view key : keys) {
        const FigureKey& figure = *std::find_if(std::begin(figure_keys), std::end(figure_keys),
                                                [key](const FigureKey& known) { return known.key == key; });
        if (n++ < n_needed || node.has(key)) figures[std::string(figure.figure)] = read_quantity(node.at(key), figure);
    }
    return figures;
}

Material read_material(const std::string& name, const YamlNode& node)
{
    if (node.has("E1"))
        return make_material(name, Symmetry::Orthotropic,
                             read_figures(node,
                                          {"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "density",
                                           "loss", "loss_across"},
                                          11));
    return make_material(name, Symmetry::Isotropic, read_figures(node, {"E", "nu", "density", "loss"}, 4));
}

bool is_word(const YamlNode& node, std::string_view word)
{
    return node.is_scalar() && node.text() == word;
}

} // namespace

StockChoice choice_of(const YamlNode& part)
{
    StockChoice choice{part.find("material"), part.find("thickness"), part.find("layers"), part.find("grain")};
    if (choice.layers && (choice.material || choice.thickness))
        choice.layers->fail("give either layers or one material and thickness, not both");
    return choice;
}

StockChoice StockChoice::or_else(const StockChoice& fallback) const
{
    StockChoice merged = *this;
    if (!layers) {
        if (!material) merged.material = fallback.material;
        if (!thickness) merged.thickness = fallback.thickness;
        if (!material && !thickness) merged.layers = fallback.layers;
    }
    if (!grain) merged.grain = fallback.grain;
    return merged;
}

GrainRule StockChoice::grain_rule() const
{
    return !grain || is_word(*grain, "longer_edge") ? GrainRule::LongerEdge : GrainRule::Angle;
}

double StockChoice::grain_angle() const
{
    if (grain_rule() == GrainRule::LongerEdge || is_word(*grain, "across")) return 0;
    if (is_word(*grain, "upright")) return std::numbers::pi / 2;
    const std::string text = grain->text();
    if (text.find_first_of("0123456789") == std::string::npos)
        grain->fail(fmt::format("unknown word '{}'{}; or an angle such as 30 deg", text,
                                hint_from(text, {"longer_edge", "upright", "across"})));
    return grain->measure(Dimension::Angle, turn_limits);
}

void StockReader::check_new_name(const YamlNode& node, const std::string& name) const
{
    check_name(node, name);
    // Library entries are found again in the plan's list by name: an own material of that name would
    // silently take their place.
    for (const Stock& stock : library_->stocks) {
        bool is_taken = stock.info.name == name || (stock.plywood && stock.plywood->veneer.name == name);
        for (const MaterialClass& entry : stock.classes) is_taken = is_taken || entry.material.name == name;
        if (is_taken) node.fail(fmt::format("name '{}' belongs to the library, choose another", name));
    }
}

void StockReader::read_own_materials(const YamlNode& node)
{
    const std::vector<YamlNode::Entry> entries = node.entries();
    if (entries.size() > max_parts)
        node.fail(fmt::format("holds {} entries, at most {} are read", entries.size(), max_parts));
    for (const YamlNode::Entry& entry : entries) {
        check_new_name(entry.value, entry.key);
        try {
            own_[entry.key] = add_inline_material(read_material(entry.key, entry.value), *materials_);
        } catch (const MaterialError& error) {
            entry.value.fail(error.what());
        }
    }
}

Layup StockReader::single(const YamlNode& name, double thickness)
{
    const std::string text = name.text();
    if (const auto own = own_.find(text); own != own_.end())
        return {{{own->second, thickness, 0}}, fmt::format("{} {:.4g} mm", text, thickness * 1e3)};
    try {
        return make_stock_layup(*library_, text, thickness, *materials_);
    } catch (const MaterialError& error) {
        name.fail(error.what());
    }
}

Layup StockReader::layered(const YamlNode& layers)
{
    const std::vector<YamlNode> items = layers.items();
    if (items.size() > max_layers)
        layers.fail(fmt::format("holds {} layers, at most {} are read", items.size(), max_layers));
    Layup whole;
    for (const YamlNode& item : items) {
        item.only_keys({"material", "thickness", "rotation"});
        const Layup layer = single(item.at("material"), item.at("thickness").length(layer_limits));
        const auto turn = item.find("rotation");
        const double angle = turn ? turn->measure(Dimension::Angle, turn_limits) : 0;
        for (Ply ply : layer.plies) {
            ply.angle += angle;
            whole.plies.push_back(ply);
        }
        whole.label += (whole.label.empty() ? "" : " + ") + layer.label;
    }
    if (whole.thickness() < board_limits.low || whole.thickness() > board_limits.high)
        layers.fail(fmt::format("layers together must be {} to {} thick, got {}",
                                format_measure(board_limits.low, Dimension::Length, layers.length_unit()),
                                format_measure(board_limits.high, Dimension::Length, layers.length_unit()),
                                format_measure(whole.thickness(), Dimension::Length, layers.length_unit())));
    return whole;
}

Layup StockReader::layup(const StockChoice& choice, const YamlNode& part)
{
    if (choice.layers) return layered(*choice.layers);
    if (!choice.material) part.fail("needs a material, here or in boards.all");
    if (!choice.thickness) part.fail("needs a thickness, here or in boards.all");
    return single(*choice.material, choice.thickness->length(board_limits));
}

int StockReader::bar_material(const YamlNode& name, double thickness)
{
    const std::string text = name.text();
    if (const auto own = own_.find(text); own != own_.end()) return own->second;
    try {
        return add_bar_material(*library_, text, thickness, *materials_);
    } catch (const MaterialError& error) {
        name.fail(error.what());
    }
}

} // namespace stillwall::app
