#include "app/input/internal/material_reader.h"

#include "app/input/internal/damping_table.h"
#include "app/input/internal/figure_reader.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

constexpr Limits thickness_mm{0.01, 500};
constexpr const char* assembled = "eta_assembled"; ///< beside `eta`, no constant of the material itself

void add_to(std::map<std::string, Quantity>& by_key, const FigureGroup& group)
{
    for (const Figure& figure : group.figures)
        if (figure.key != assembled) by_key[figure.key] = figure.quantity;
}

std::optional<Quantity> assembled_loss(const YamlNode& node, const FigureGroup& group)
{
    for (const Figure& figure : group.figures) {
        if (figure.key != assembled) continue;
        if (figure.quantity.low < 0) node.at(assembled).fail("must not be negative");
        return figure.quantity;
    }
    return std::nullopt;
}

Material checked_material(const YamlNode& where, const std::string& name, Symmetry symmetry,
                          const std::map<std::string, Quantity>& figures)
{
    try {
        return make_material(name, symmetry, figures);
    } catch (const MaterialError& error) {
        where.fail(error.what());
    }
}

Symmetry read_symmetry(const YamlNode& stock)
{
    return static_cast<Symmetry>(stock.at("symmetry").choice({"isotropic", "in_plane_isotropic", "orthotropic"}));
}

void read_thickness_range(const YamlNode& node, StockInfo& info)
{
    const std::vector<YamlNode> limits = node.items(2);
    info.thinnest = units::mm * limits[0].number(thickness_mm);
    info.thickest = units::mm * limits[1].number(thickness_mm);
    if (info.thinnest >= info.thickest) node.fail("must be [thinnest, thickest]");
}

/// `thickness_classes`: each class adds its figures to the common ones.
void read_classes(const YamlNode& list, Symmetry symmetry, const std::map<std::string, Quantity>& common, Stock& stock)
{
    for (const YamlNode& node : list.items()) {
        node.only_keys({"from_mm", "to_mm", "figures"});
        MaterialClass added;
        added.above = units::mm * node.at("from_mm").number(thickness_mm);
        added.up_to = units::mm * node.at("to_mm").number(thickness_mm);
        if (added.above >= added.up_to) node.fail("from_mm must be below to_mm");
        if (!stock.classes.empty() && stock.classes.back().up_to != added.above)
            node.fail("must start where the class before it ends");

        const std::string label = fmt::format("{:.4g} to {:.4g} mm", added.above / units::mm, added.up_to / units::mm);
        const FigureGroup group = read_group(node.at("figures"), label);
        std::map<std::string, Quantity> figures = common;
        add_to(figures, group);
        added.material = checked_material(node, fmt::format("{} ({})", stock.info.name, label), symmetry, figures);
        added.material.title = fmt::format("{}, {}", stock.info.title, label);
        added.assembled_loss = assembled_loss(node.at("figures"), group);
        stock.classes.push_back(std::move(added));
        stock.info.figures.push_back(group);
    }
    stock.info.thinnest = stock.classes.front().above;
    stock.info.thickest = stock.classes.back().up_to;
}

void read_damping(const YamlNode& node, Stock& stock)
{
    if (const auto table = node.find("modulus_table"))
        for (const YamlNode& row : table->items()) {
            row.only_keys({"temperature_C", "frequency_Hz", "E", "G", "eta"});
            DampingPoint point;
            point.temperature = row.at("temperature_C").number({-50, 150});
            point.frequency = row.at("frequency_Hz").number({0.1, 1e5});
            check_row_order(row, point, stock.damping);
            FigureGroup group{fmt::format("{:g} °C, {:g} Hz", point.temperature, point.frequency), {}};
            const std::string key = row.has("E") ? "E" : "G";
            group.figures = {read_figure(row.at(key), key), read_figure(row.at("eta"), "eta")};
            // The table changes only the modulus and the loss: the rest is the stock's own.
            std::map<std::string, Quantity> figures;
            for (const FigureGroup& known : stock.info.figures)
                if (known.label.empty()) add_to(figures, known);
            figures.erase("E");
            figures.erase("G");
            add_to(figures, group);
            point.G = checked_material(row, stock.info.name, Symmetry::Isotropic, figures).G12;
            point.eta = figures.at("eta");
            stock.damping.push_back(point);
            stock.info.figures.push_back(std::move(group));
        }
    for (MaterialClass& one : stock.classes) one.material.damping = stock.damping;
    if (const auto facing = node.find("faced_with")) {
        facing->only_keys({"stock", "thickness"});
        const Figure thickness = read_figure(facing->at("thickness"), "thickness");
        stock.facing = Facing{facing->at("stock").text(), thickness.quantity.value};
        stock.info.figures.push_back({"facing of " + stock.facing->stock, {thickness}});
    }
}

void read_uniform(const YamlNode& node, Stock& stock)
{
    if (stock.info.kind == StockKind::Damping)
        node.only_keys({"title", "kind", "symmetry", "note", "stock_thickness_mm", "thickness_range_mm", "figures",
                        "modulus_table", "faced_with"});
    else
        node.only_keys({"title", "kind", "symmetry", "note", "stock_thickness_mm", "thickness_range_mm", "figures",
                        "thickness_classes"});
    const Symmetry symmetry = read_symmetry(node);
    if (stock.info.kind == StockKind::Damping && symmetry != Symmetry::Isotropic)
        node.at("symmetry").fail("a damping layer must be isotropic");
    if (const auto list = node.find("stock_thickness_mm"))
        for (const YamlNode& item : list->items())
            stock.info.thicknesses.push_back(units::mm * item.number(thickness_mm));

    stock.info.figures.push_back(read_group(node.at("figures"), ""));
    std::map<std::string, Quantity> figures;
    add_to(figures, stock.info.figures.front());
    if (const auto classes = node.find("thickness_classes")) {
        if (const auto range = node.find("thickness_range_mm")) range->fail("the thickness classes say that already");
        return read_classes(*classes, symmetry, figures, stock);
    }
    read_thickness_range(node.at("thickness_range_mm"), stock.info);
    Material material = checked_material(node.at("figures"), stock.info.name, symmetry, figures);
    material.title = stock.info.title;
    stock.classes.push_back({stock.info.thinnest, stock.info.thickest, std::move(material),
                             assembled_loss(node.at("figures"), stock.info.figures.front())});
    if (stock.info.kind == StockKind::Damping) read_damping(node, stock);
}

PlywoodRule::Board read_plywood_board(const YamlNode::Entry& entry)
{
    const Measure nominal = parse_measure(entry.key, Dimension::Number, LengthUnit::Millimetre);
    if (!nominal.problem.empty() || nominal.value <= 0 || nominal.value > thickness_mm.high)
        throw InputError(entry.key_where, entry.key, "key must be a thickness in mm such as 18");
    const double n = entry.value.number({3, 101});
    const int n_plies = static_cast<int>(n);
    if (n_plies != n || n_plies % 2 == 0) entry.value.fail("must be an odd whole number of plies");
    return {units::mm * nominal.value, n_plies};
}

void read_plywood(const YamlNode& node, Stock& stock)
{
    node.only_keys({"title", "kind", "note", "veneer", "lay_up"});
    PlywoodRule rule;
    const FigureGroup veneer = read_group(node.at("veneer"), "one ply");
    std::map<std::string, Quantity> figures;
    add_to(figures, veneer);
    rule.veneer = checked_material(node.at("veneer"), stock.info.name + " (ply)", Symmetry::Orthotropic, figures);
    rule.veneer.title = stock.info.title + ", one ply";

    const YamlNode lay_up = node.at("lay_up");
    lay_up.only_keys({"ply", "face_ply", "nominal_mm", "scaled_to_nominal"});
    const Figure ply = read_figure(lay_up.at("ply"), "ply"), face = read_figure(lay_up.at("face_ply"), "face_ply");
    rule.ply = ply.quantity;
    rule.face_ply = face.quantity;
    if (rule.ply.low <= 0 || rule.face_ply.low <= 0) lay_up.fail("ply thicknesses must be above zero");
    if (const auto scaled = lay_up.find("scaled_to_nominal")) rule.is_scaled = scaled->choice({"no", "yes"}) == 1;
    for (const YamlNode::Entry& entry : lay_up.at("nominal_mm").entries()) {
        rule.boards.push_back(read_plywood_board(entry));
        stock.info.thicknesses.push_back(rule.boards.back().nominal);
    }
    if (rule.boards.empty()) lay_up.at("nominal_mm").fail("needs at least one thickness");
    const auto [thin, thick] = std::minmax_element(stock.info.thicknesses.begin(), stock.info.thicknesses.end());
    stock.info.thinnest = *thin;
    stock.info.thickest = *thick;
    stock.info.figures = {veneer, {"lay-up", {ply, face}}};
    stock.plywood = std::move(rule);
}

void check_name(const YamlNode::Entry& entry)
{
    const auto is_allowed = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_'; };
    if (!std::all_of(entry.key.begin(), entry.key.end(), is_allowed))
        throw InputError(entry.key_where, entry.key, "names of stocks are made of a-z, 0-9 and _");
}

} // namespace

std::vector<PlacedStock> read_stock_file(const std::filesystem::path& file)
{
    const YamlDocument document = read_yaml(file);
    const YamlNode root = document.root();
    root.only_keys({"family", "caution", "stocks"});
    std::vector<PlacedStock> stocks;
    for (const YamlNode::Entry& entry : root.at("stocks").entries()) {
        check_name(entry);
        PlacedStock placed{{}, entry.key_where};
        StockInfo& info = placed.stock.info;
        info.name = entry.key;
        info.family = root.at("family").text();
        if (const auto caution = root.find("caution")) info.caution = caution->text();
        info.title = entry.value.at("title").text();
        if (const auto note = entry.value.find("note")) info.note = note->text();
        info.kind =
            static_cast<StockKind>(entry.value.at("kind").choice({"homogeneous", "solid", "plywood", "damping"}));
        if (info.kind == StockKind::Plywood)
            read_plywood(entry.value, placed.stock);
        else
            read_uniform(entry.value, placed.stock);
        for (MaterialClass& one : placed.stock.classes) one.material.caution = info.caution;
        if (placed.stock.plywood) placed.stock.plywood->veneer.caution = info.caution;
        stocks.push_back(std::move(placed));
    }
    return stocks;
}

} // namespace stillwall::app
