#include "app/input/internal/own_material.h"

#include "app/input/internal/damping_table.h"
#include "app/input/internal/quantity.h"
#include "app/input/material_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace stillwall::app {
namespace {

/// A key of an own material, its name among make_material()'s figures, and what is possible.
struct FigureKey
{
    std::string_view key;
    std::string_view figure;
    Dimension dimension;
    Limits limits;
};

constexpr Limits modulus_limits{1e4, 1e12};
constexpr Limits soft_modulus_limits{1e3, 1e12};
constexpr Limits poisson_limits{-0.99, 1.5}; // across the grain of wood nu may exceed 0.5
constexpr Limits table_temperature_limits{-60, 150};
constexpr Limits table_frequency_limits{0.1, 1e5};

constexpr FigureKey figure_keys[] = {
    {"E", "E", Dimension::Modulus, modulus_limits},      {"nu", "nu", Dimension::Number, poisson_limits},
    {"E1", "E1", Dimension::Modulus, modulus_limits},    {"E2", "E2", Dimension::Modulus, modulus_limits},
    {"E3", "E3", Dimension::Modulus, modulus_limits},    {"G12", "G12", Dimension::Modulus, modulus_limits},
    {"G13", "G13", Dimension::Modulus, modulus_limits},  {"G23", "G23", Dimension::Modulus, modulus_limits},
    {"nu12", "nu12", Dimension::Number, poisson_limits}, {"nu13", "nu13", Dimension::Number, poisson_limits},
    {"nu23", "nu23", Dimension::Number, poisson_limits}, {"density", "rho", Dimension::Density, {1, 25000}},
    {"loss", "eta", Dimension::Ratio, loss_limits},      {"loss_across", "eta2", Dimension::Ratio, loss_limits},
};

using Figures = std::map<std::string, Quantity>;

const FigureKey& known_key(std::string_view key)
{
    return *std::find_if(std::begin(figure_keys), std::end(figure_keys),
                         [key](const FigureKey& one) { return one.key == key; });
}

/// Reads the listed figures; those after `n_needed` may be absent.
Figures read_figures(const YamlNode& node, std::initializer_list<std::string_view> keys, std::size_t n_needed)
{
    Figures figures;
    std::size_t n = 0;
    for (std::string_view key : keys) {
        const FigureKey& known = known_key(key);
        if (n++ < n_needed || node.has(key))
            figures[std::string(known.figure)] = read_quantity(node.at(key), known.dimension, known.limits);
    }
    return figures;
}

/// @param common  density and Poisson's ratio of the whole table
DampingPoint read_row(const YamlNode& row, const std::string& name, const Figures& common)
{
    row.only_keys({"temperature", "frequency", "E", "G", "loss"});
    if (row.has("E") && row.has("G")) row.at("E").fail("give either E or G");
    DampingPoint point;
    point.temperature = row.at("temperature").measure(Dimension::Temperature, table_temperature_limits);
    point.frequency = row.at("frequency").measure(Dimension::Frequency, table_frequency_limits);
    point.eta = read_loss_quantity(row.at("loss"));
    const std::string key = row.has("E") ? "E" : "G";
    Figures figures = common;
    figures[key] = read_quantity(row.at(key), Dimension::Modulus, soft_modulus_limits);
    figures["eta"] = point.eta;
    try {
        point.G = make_material(name, Symmetry::Isotropic, figures).G12;
    } catch (const MaterialError& error) {
        row.fail(error.what());
    }
    return point;
}

Material read_soft_material(const std::string& name, const YamlNode& node)
{
    node.only_keys({"nu", "density", "table"});
    Figures figures = read_figures(node, {"nu", "density"}, 2);
    const YamlNode table = node.at("table");
    const std::vector<YamlNode> rows = table.items();
    if (rows.size() > max_table_rows)
        table.fail(fmt::format("holds {} rows, at most {} are read", rows.size(), max_table_rows));
    std::vector<DampingPoint> damping;
    for (const YamlNode& row : rows) {
        DampingPoint point = read_row(row, name, figures);
        check_row_order(row, point, damping);
        damping.push_back(std::move(point));
    }
    const DampingPoint& usual = usual_point(damping);
    figures["G"] = usual.G;
    figures["eta"] = usual.eta;
    Material material = make_material(name, Symmetry::Isotropic, figures);
    material.damping = std::move(damping);
    return material;
}

} // namespace

std::string figure_name(std::string_view key)
{
    return std::string(known_key(key).figure);
}

std::map<std::string, Quantity> read_some_figures(const YamlNode& node, std::initializer_list<std::string_view> keys)
{
    std::map<std::string, Quantity> figures;
    for (std::string_view key : keys)
        if (const auto figure = node.find(key)) {
            const FigureKey& known = known_key(key);
            figures[std::string(key)] = read_quantity(*figure, known.dimension, known.limits);
        }
    return figures;
}

Material read_own_material(const std::string& name, const YamlNode& node)
{
    if (node.has("table")) return read_soft_material(name, node);
    if (node.has("E1")) {
        node.only_keys(
            {"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "density", "loss", "loss_across"});
        return make_material(name, Symmetry::Orthotropic,
                             read_figures(node,
                                          {"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "density",
                                           "loss", "loss_across"},
                                          11));
    }
    node.only_keys({"E", "nu", "density", "loss", "table"});
    return make_material(name, Symmetry::Isotropic, read_figures(node, {"E", "nu", "density", "loss"}, 4));
}

} // namespace stillwall::app
