#include "app/input/internal/stock_reader.h"

#include "app/input/internal/nearest.h"
#include "app/input/internal/own_material.h"
#include "app/input/internal/place.h"
#include "app/input/stock_material.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits board_limits{1e-3, 0.2};
constexpr Limits layer_limits{1e-5, 0.2}; // a rolled film to a board
constexpr Limits turn_limits{-std::numbers::pi, std::numbers::pi};
constexpr std::size_t max_layers = 20;

bool is_word(const YamlNode& node, std::string_view word)
{
    return node.is_scalar() && node.text() == word;
}

} // namespace

StockChoice choice_of(const YamlNode& part)
{
    StockChoice choice{part.find("material"), part.find("thickness"), part.find("layers"), part.find("grain"),
                       part.find("welded")};
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
    if (!welded) merged.welded = fallback.welded;
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
        if (entry.value.has("like")) {
            like_[entry.key] = read_like_material(entry.key, entry.value, *library_);
            continue;
        }
        try {
            own_[entry.key] = add_inline_material(read_own_material(entry.key, entry.value), *materials_);
        } catch (const MaterialError& error) {
            entry.value.fail(error.what());
        }
    }
}

std::optional<int> StockReader::own(const std::string& name, double thickness, Loss loss)
{
    if (const auto own = own_.find(name); own != own_.end()) return own->second;
    const auto like = like_.find(name);
    if (like == like_.end()) return std::nullopt;
    Material material = like->second.at(name, *library_, thickness);
    const bool has_own_loss = like->second.own.count("loss") > 0;
    if (const auto lossy = assembled_loss(*like->second.stock, thickness);
        lossy && loss == Loss::OfAssembly && !has_own_loss)
        material = assembled(std::move(material), *lossy);
    return known_or_new(material);
}

int StockReader::known_or_new(const Material& material)
{
    const auto same = std::find_if(materials_->begin(), materials_->end(),
                                   [&](const Material& known) { return known.name == material.name; });
    if (same != materials_->end()) return static_cast<int>(same - materials_->begin());
    return add_inline_material(material, *materials_);
}

Layup StockReader::single(const YamlNode& name, double thickness, Loss loss)
{
    const std::string text = name.text();
    try {
        if (const auto index = own(text, thickness, loss))
            return {{{*index, thickness, 0}}, fmt::format("{} {:.4g} mm", text, thickness * 1e3), {}};
        const Stock& stock = find_stock(*library_, text);
        const auto lossy = loss == Loss::OfAssembly ? assembled_loss(stock, thickness) : std::nullopt;
        if (!lossy) return make_stock_layup(*library_, text, thickness, *materials_);
        std::vector<Material> bare;
        Layup layup = make_stock_layup(*library_, text, thickness, bare);
        layup.plies.front().material = known_or_new(assembled(bare.front(), *lossy));
        return layup;
    } catch (const MaterialError& error) {
        name.fail(error.what());
    }
}

Layup StockReader::layered(const YamlNode& layers, bool is_board, Loss loss)
{
    const std::vector<YamlNode> items = layers.items();
    if (items.size() > max_layers)
        layers.fail(fmt::format("holds {} layers, at most {} are read", items.size(), max_layers));
    Layup whole;
    for (const YamlNode& item : items) {
        item.only_keys({"material", "thickness", "rotation"});
        Layup layer = single(item.at("material"), item.at("thickness").length(layer_limits), loss);
        // A faced sheet shows its facing: on the inner side of a board that is the first ply, not the last.
        const bool is_innermost = is_board && whole.plies.empty() && items.size() > 1;
        if (is_innermost && is_faced(item.at("material").text())) std::reverse(layer.plies.begin(), layer.plies.end());
        const auto turn = item.find("rotation");
        const double angle = turn ? turn->measure(Dimension::Angle, turn_limits) : 0;
        for (Ply ply : layer.plies) {
            ply.angle += angle;
            whole.plies.push_back(ply);
        }
        whole.sheets.push_back({layer.label, layer.thickness()});
        whole.label += (whole.label.empty() ? "" : " + ") + layer.label;
    }
    if (whole.sheets.size() == 1) whole.sheets.clear();
    const Limits limits = is_board ? board_limits : layer_limits;
    if (whole.thickness() < limits.low || whole.thickness() > limits.high)
        layers.fail(fmt::format("layers together must be {} to {} thick, got {}",
                                format_measure(limits.low, Dimension::Length, layers.length_unit()),
                                format_measure(limits.high, Dimension::Length, layers.length_unit()),
                                format_measure(whole.thickness(), Dimension::Length, layers.length_unit())));
    return whole;
}

bool StockReader::is_faced(const std::string& name) const
{
    return own_.count(name) == 0 && like_.count(name) == 0 && find_stock(*library_, name).facing.has_value();
}

Layup StockReader::layup(const StockChoice& choice, const YamlNode& part, bool is_bought)
{
    const bool is_welded = choice.welded ? choice.welded->choice({"no", "yes"}) == 1 : is_welded_;
    const Loss loss = is_welded ? Loss::Bare : Loss::OfAssembly;
    if (choice.layers) return layered(*choice.layers, true, loss);
    if (!choice.material) part.fail("needs a material, here or in boards.all");
    if (!choice.thickness) part.fail("needs a thickness, here or in boards.all");
    return single(*choice.material, choice.thickness->length(is_bought ? layer_limits : board_limits), loss);
}

Layup StockReader::face_layup(const YamlNode& part)
{
    const StockChoice choice = choice_of(part);
    if (choice.layers) return layered(*choice.layers, false, Loss::Bare);
    if (!choice.material) part.fail("needs a material and its thickness, or layers");
    return single(*choice.material, part.at("thickness").length(layer_limits), Loss::Bare);
}

int StockReader::bar_material(const YamlNode& name, double thickness)
{
    const std::string text = name.text();
    try {
        if (const auto index = own(text, thickness, Loss::Bare)) return *index;
        return add_bar_material(*library_, text, thickness, *materials_);
    } catch (const MaterialError& error) {
        name.fail(error.what());
    }
}

} // namespace stillwall::app
