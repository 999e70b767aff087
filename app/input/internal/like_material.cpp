#include "app/input/internal/like_material.h"

#include "app/input/internal/own_material.h"
#include "app/input/stock_material.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace stillwall::app {
namespace {

using Figures = std::map<std::string, Quantity>;

/// The independent constants of an orthotropic material.
Figures all_figures(const Material& m)
{
    return {{"E1", m.E1},     {"E2", m.E2},     {"E3", m.E3},     {"G12", m.G12}, {"G13", m.G13}, {"G23", m.G23},
            {"nu12", m.nu12}, {"nu13", m.nu13}, {"nu23", m.nu23}, {"rho", m.rho}, {"eta", m.eta}, {"eta2", m.eta2}};
}

Figures isotropic_figures(const Material& m)
{
    return {{"E", m.E1}, {"nu", m.nu12}, {"rho", m.rho}, {"eta", m.eta}};
}

Figures in_plane_figures(const Material& m)
{
    return {{"E1", m.E1},     {"E3", m.E3},   {"G13", m.G13}, {"nu12", m.nu12},
            {"nu13", m.nu13}, {"rho", m.rho}, {"eta", m.eta}};
}

/// Puts an own figure under its name among make_material()'s: "density" → "rho".
void put(Figures& figures, const std::string& key, const Quantity& q, StockSymmetry symmetry)
{
    const std::string name = figure_name(key);
    figures[name == "E" && symmetry == StockSymmetry::InPlane ? "E1" : name] = q;
}

} // namespace

Material LikeMaterial::at(const std::string& name, const MaterialLibrary& library, double thickness) const
{
    const Material base = board_material(library, stock->info.name, thickness);
    // "mdf (12 to 19 mm)" → "my_mdf (12 to 19 mm)"
    const std::string full = name + base.name.substr(std::min(stock->info.name.size(), base.name.size()));
    const StockSymmetry symmetry = symmetry_of(*stock);
    Figures figures = symmetry == StockSymmetry::Isotropic ? isotropic_figures(base)
                      : symmetry == StockSymmetry::InPlane ? in_plane_figures(base)
                                                           : all_figures(base);
    for (const auto& [key, q] : own)
        if (key != "G12" || symmetry == StockSymmetry::Grain) put(figures, key, q, symmetry);
    Material m = make_material(full,
                               symmetry == StockSymmetry::Isotropic ? Symmetry::Isotropic
                               : symmetry == StockSymmetry::InPlane ? Symmetry::InPlaneIsotropic
                                                                    : Symmetry::Orthotropic,
                               figures);
    if (const auto G12 = own.find("G12"); G12 != own.end()) m.G12 = G12->second;
    m.title = name + ", like " + base.title;
    m.caution = base.caution;
    return m;
}

LikeMaterial read_like_material(const std::string& name, const YamlNode& node, const MaterialLibrary& library)
{
    LikeMaterial like;
    const YamlNode stock = node.at("like");
    try {
        like.stock = &find_stock(library, stock.text());
    } catch (const MaterialError& error) {
        stock.fail(error.what());
    }
    if (like.stock->info.kind == StockKind::Damping) stock.fail("is a damping layer; write a table of your own");
    const auto take = [&](std::initializer_list<std::string_view> keys) {
        for (const YamlNode::Entry& entry : node.entries())
            if (entry.key != "like" && std::find(keys.begin(), keys.end(), entry.key) == keys.end())
                entry.value.fail(fmt::format("{} has no such figure; like it may have {}", like.stock->info.name,
                                             fmt::join(keys, ", ")));
        like.own = read_some_figures(node, keys);
    };
    switch (symmetry_of(*like.stock)) {
    case StockSymmetry::Isotropic:
        take({"E", "nu", "density", "loss"});
        break;
    case StockSymmetry::InPlane:
        take({"E", "E3", "G12", "G13", "nu12", "nu13", "density", "loss"});
        break;
    case StockSymmetry::Grain:
        take({"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "density", "loss", "loss_across"});
        break;
    }
    try {
        static_cast<void>(like.at(name, library, made_thickness(*like.stock, 0)));
    } catch (const MaterialError& error) {
        node.fail(error.what());
    }
    return like;
}

} // namespace stillwall::app
