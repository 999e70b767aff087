// From a stock's name and a thickness to plies.

#include "app/input/internal/nearest.h"
#include "app/input/material_file.h"
#include "app/input/stock_material.h"
#include "mesh/cabinet/units.h"
#include "solver/structure/section/section.h"

#include <Eigen/Dense>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr double same_thickness = 0.05 * units::mm; // finer than a board is sold or a calliper read

/// How far beyond a class a thickness may lie: 3/4 in (19.05 mm) is sold for 19 mm. Of films in proportion.
double class_slack(double limit)
{
    return std::min(0.1 * units::mm, 0.01 * limit);
}

std::string lower_spaced(std::string_view text)
{
    std::string result(text);
    for (char& c : result) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + ('a' - 'A'));
        if (c == '_' || c == '-') c = ' ';
    }
    return result;
}

std::string millimetres(double metres)
{
    return fmt::format("{:.4g}", metres / units::mm);
}

/// "spruce" is near no name by spelling, yet part of three: offers those.
std::string hint_by_part(const MaterialLibrary& library, std::string_view name)
{
    constexpr std::size_t shortest = 3, most = 8;
    const std::string word = lower_spaced(name);
    std::vector<std::string> names;
    for (const Stock& stock : library.stocks) {
        const std::string known = lower_spaced(stock.info.name), title = lower_spaced(stock.info.title);
        const bool is_part = known.find(word) != std::string::npos || title.find(word) != std::string::npos;
        if (word.size() >= shortest && (is_part || word.find(known) != std::string::npos))
            names.push_back(stock.info.name);
    }
    if (names.empty() || names.size() > most) return "; 'stillwall materials' lists all";
    return fmt::format(", did you mean {}?", fmt::join(names, ", "));
}

int add_or_reuse(const Material& material, std::vector<Material>& materials)
{
    const auto found = std::find_if(materials.begin(), materials.end(),
                                    [&](const Material& known) { return known.name == material.name; });
    const auto index = static_cast<int>(found - materials.begin());
    if (found == materials.end()) materials.push_back(material);
    return index;
}

const MaterialClass& class_of(const Stock& stock, double thickness)
{
    const StockInfo& info = stock.info;
    if (thickness < info.thinnest - class_slack(info.thinnest) ||
        thickness > info.thickest + class_slack(info.thickest))
        throw MaterialError(fmt::format("figures of {} hold from {} mm to {} mm thickness, got {} mm", info.name,
                                        millimetres(info.thinnest), millimetres(info.thickest),
                                        millimetres(thickness)));
    for (const MaterialClass& one : stock.classes)
        if (thickness <= one.up_to + class_slack(one.up_to)) return one;
    return stock.classes.back();
}

const Material& material_of(const Stock& stock, double thickness)
{
    return class_of(stock, thickness).material;
}

constexpr std::string_view assembled_suffix = " (assembled)";

/// The board of that nominal thickness, else of that true thickness.
const PlywoodRule::Board& find_board(const Stock& stock, double thickness)
{
    const PlywoodRule& rule = *stock.plywood;
    for (const auto& board : rule.boards)
        if (std::abs(board.nominal - thickness) < same_thickness) return board;
    for (const auto& board : rule.boards)
        if (std::abs(rule.true_thickness(board) - thickness) < same_thickness) return board;

    std::vector<std::string> made;
    for (const auto& board : rule.boards) {
        const double real = rule.true_thickness(board);
        const bool is_nominal = std::abs(real - board.nominal) < same_thickness;
        made.push_back(millimetres(board.nominal) + (is_nominal ? "" : fmt::format(" (true {})", millimetres(real))));
    }
    throw MaterialError(fmt::format("{} is not made {} mm thick; it comes in {} mm", stock.info.name,
                                    millimetres(thickness), fmt::join(made, ", ")));
}

std::vector<Ply> plywood_plies(const PlywoodRule& rule, const PlywoodRule::Board& board, int material)
{
    const double unscaled = 2 * rule.face_ply.value + (board.n_plies - 2) * rule.ply.value;
    const double scale = rule.true_thickness(board) / unscaled;
    std::vector<Ply> plies;
    for (int i = 0; i < board.n_plies; ++i) {
        const bool is_face = i == 0 || i == board.n_plies - 1;
        plies.push_back({material, scale * (is_face ? rule.face_ply.value : rule.ply.value),
                         i % 2 == 0 ? 0.0 : std::numbers::pi / 2});
    }
    return plies;
}

/// A computed value with the relative range of the figure it mostly follows.
Quantity like(double value, const Quantity& model, const std::string& source)
{
    return {value, value * model.low / model.value, value * model.high / model.value, source, "derived"};
}

/// What the plies share when they are smeared into one material.
enum class Smeared
{
    Stretched, ///< membrane stiffness, of bars
    Bent       ///< bending stiffness, of boards
};

/// One material that stretches or bends, twists, shears and weighs as the plies together do.
Material smeared(const Layup& layup, const Material& veneer, const std::vector<Material>& materials, Smeared how)
{
    const solver::Section section = solver::make_section(layup, materials, 0);
    const double t = section.thickness;
    const int at = how == Smeared::Bent ? 3 : 0;
    const double per = how == Smeared::Bent ? t * t * t / 12 : t; // what a modulus of 1 Pa would give
    const Eigen::Matrix3d A = section.C.block<3, 3>(at, at) / per, A_loss = section.C_loss.block<3, 3>(at, at) / per;
    const Eigen::Matrix3d a = A.inverse();
    const auto loss = [&](int axis) {
        const Eigen::Vector3d strain = a.col(axis);
        return strain.dot(A_loss * strain) / strain.dot(A * strain);
    };
    // Bar elements, and sections of one ply, bring the shear correction 5/6 of a rectangle themselves.
    const double rectangle = 6.0 / 5;
    const std::string source = "smeared from the plies";

    Material m = veneer;
    m.E1 = like(1 / a(0, 0), veneer.E1, source);
    m.E2 = like(1 / a(1, 1), veneer.E1, source);
    m.G12 = like(A(2, 2), veneer.G12, source);
    m.G13 = like(rectangle * section.C(6, 6) / t, veneer.G23, source);
    m.G23 = like(rectangle * section.C(7, 7) / t, veneer.G23, source);
    m.nu12 = {-a(0, 1) / a(0, 0), 0, 0, source, "derived"};
    m.nu12.low = m.nu12.high = m.nu12.value;
    m.eta = like(loss(0), veneer.eta, source);
    m.eta2 = like(loss(1), veneer.eta, source);
    return m;
}

} // namespace

double PlywoodRule::true_thickness(const Board& board) const
{
    return is_scaled ? board.nominal : 2 * face_ply.value + (board.n_plies - 2) * ply.value;
}

const Stock& find_stock(const MaterialLibrary& library, std::string_view name)
{
    std::vector<std::string> known;
    for (const Stock& stock : library.stocks) {
        if (stock.info.name == name) return stock;
        known.push_back(stock.info.name);
    }
    std::string hint = hint_from(name, known);
    if (hint.empty()) hint = hint_by_part(library, name);
    throw MaterialError(fmt::format("unknown material '{}'{}", name, hint));
}

Layup make_stock_layup(const MaterialLibrary& library, const std::string& name, double thickness,
                       std::vector<Material>& materials)
{
    const Stock& stock = find_stock(library, name);
    Layup layup;
    if (stock.plywood) {
        const PlywoodRule::Board& board = find_board(stock, thickness);
        layup.plies = plywood_plies(*stock.plywood, board, add_or_reuse(stock.plywood->veneer, materials));
        layup.label = fmt::format("{} {} mm", lower_spaced(name), millimetres(board.nominal));
        return layup;
    }
    layup.plies.push_back({add_or_reuse(material_of(stock, thickness), materials), thickness, 0});
    layup.label = fmt::format("{} {} mm", lower_spaced(name), millimetres(thickness));
    if (stock.facing) {
        // The class of a foil is the thinnest one of its stock: foils are thinner than boards are made.
        const Material& foil = find_stock(library, stock.facing->stock).classes.front().material;
        layup.plies.push_back({add_or_reuse(foil, materials), stock.facing->thickness, 0});
    }
    return layup;
}

int add_bar_material(const MaterialLibrary& library, const std::string& name, double thickness,
                     std::vector<Material>& materials)
{
    const Stock& stock = find_stock(library, name);
    if (!stock.plywood) return add_or_reuse(material_of(stock, thickness), materials);
    std::vector<Material> veneers;
    const Layup layup = make_stock_layup(library, name, thickness, veneers);
    Material bar = smeared(layup, stock.plywood->veneer, veneers, Smeared::Stretched);
    bar.name = layup.label + " (bar)";
    bar.title = layup.label + ", plies smeared";
    return add_or_reuse(bar, materials);
}

Material board_material(const MaterialLibrary& library, const std::string& name, double thickness)
{
    const Stock& stock = find_stock(library, name);
    if (!stock.plywood) return material_of(stock, thickness);
    std::vector<Material> veneers;
    const Layup layup = make_stock_layup(library, name, thickness, veneers);
    Material board = smeared(layup, stock.plywood->veneer, veneers, Smeared::Bent);
    board.name = fmt::format("{} ({} mm)", name, millimetres(thickness));
    board.title = layup.label + ", plies smeared";
    return board;
}

std::optional<Quantity> assembled_loss(const Stock& stock, double thickness)
{
    return stock.plywood ? std::nullopt : class_of(stock, thickness).assembled_loss;
}

Material assembled(Material bare, const Quantity& loss)
{
    bare.name += assembled_suffix;
    bare.title += ", assembled";
    bare.eta = bare.eta2 = loss;
    return bare;
}

bool is_assembled(const Material& material)
{
    return material.name.ends_with(assembled_suffix);
}

BendingModuli effective_bending_moduli(const Layup& layup, const std::vector<Material>& materials)
{
    const solver::Section section = solver::make_section(layup, materials, 0);
    const Eigen::Matrix3d A = section.C.block<3, 3>(0, 0), B = section.C.block<3, 3>(0, 3),
                          D = section.C.block<3, 3>(3, 3);
    // A strip in a bending test is free to stretch: membrane forces vanish.
    const Eigen::Matrix3d d = (D - B * A.inverse() * B).inverse();
    const double t3 = std::pow(section.thickness, 3);
    return {12 / (t3 * d(0, 0)), 12 / (t3 * d(1, 1))};
}

} // namespace stillwall::app
