#include "app/input/internal/figure_reader.h"

#include "mesh/cabinet/units.h"

#include <algorithm>

namespace stillwall::app {
namespace {

constexpr Limits any_number{-1e5, 1e5}; // a figure in its own unit; signs are judged with the whole material

double unit_scale(const YamlNode& unit, const std::string& key)
{
    constexpr std::string_view lengths[] = {"ply", "face_ply", "thickness", "diameter", "spacing"};
    const bool is_length = std::find(std::begin(lengths), std::end(lengths), key) != std::end(lengths);
    const bool is_modulus = key[0] == 'E' || key[0] == 'G';
    if (is_modulus) return unit.choice({"GPa", "MPa"}) == 0 ? units::GPa : units::MPa;
    if (key == "flow_resistivity") return static_cast<void>(unit.choice({"Pa.s/m2"})), 1.0;
    if (key == "rho" || key == "density") return static_cast<void>(unit.choice({"kg/m3"})), 1.0;
    if (is_length) return static_cast<void>(unit.choice({"mm"})), units::mm;
    if (key.rfind("stiffness", 0) == 0) return unit.choice({"kN/m", "MN/m"}) == 0 ? 1e3 : 1e6;
    return static_cast<void>(unit.choice({"-"})), 1.0;
}

} // namespace

Figure read_figure(const YamlNode& node, const std::string& key)
{
    node.only_keys({"value", "unit", "source", "confirmed"});
    Figure figure;
    figure.key = key;
    figure.unit = node.at("unit").text();
    figure.scale = unit_scale(node.at("unit"), key);
    const std::vector<YamlNode> range = node.at("value").items(3);
    Quantity& q = figure.quantity;
    q.low = figure.scale * range[0].number(any_number);
    q.value = figure.scale * range[1].number(any_number);
    q.high = figure.scale * range[2].number(any_number);
    if (q.low > q.value || q.value > q.high) node.at("value").fail("must be [low, typical, high] in rising order");
    q.source = node.at("source").text();
    q.confirmed = node.at("confirmed").text();
    return figure;
}

FigureGroup read_group(const YamlNode& node, std::string label)
{
    FigureGroup group{std::move(label), {}};
    for (const YamlNode::Entry& entry : node.entries()) group.figures.push_back(read_figure(entry.value, entry.key));
    return group;
}

} // namespace stillwall::app
