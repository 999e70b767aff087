#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/quantity.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

constexpr Limits leakage_limits{1, 1000};
constexpr Limits absorption_limits{0, 0.9};
constexpr Limits resistivity_limits{50, 1e6};
constexpr Limits density_limits{1, 2000};
constexpr Limits lining_limits{1e-3, 1};
constexpr Limits any_ratio{-1e300, 1e300};
constexpr double least_amount = 0.01; // thinner stuff is air

/// A name from the library, or figures of one's own.
void read_material(const YamlNode& node, const MaterialLibrary& library, FillingPlan& filling)
{
    if (node.is_map()) {
        node.only_keys({"flow_resistivity", "density"});
        filling.material = "own";
        filling.flow_resistivity =
            read_quantity(node.at("flow_resistivity"), Dimension::FlowResistivity, resistivity_limits);
        if (const auto density = node.find("density"))
            filling.density = read_quantity(*density, Dimension::Density, density_limits);
        return;
    }
    filling.material = node.text();
    try {
        const Fixing& stuff = find_fixing(library, Fixing::Use::Filling, filling.material);
        filling.flow_resistivity = stuff.figure("flow_resistivity");
        filling.density = stuff.figure("density");
    } catch (const MaterialError& error) {
        node.fail(error.what());
    }
}

void read_corner(const YamlNode& node, std::optional<double>& x, std::optional<double>& y, std::optional<double>& z)
{
    node.only_keys({"x", "y", "z"});
    if (node.entries().empty()) node.fail("needs x, y or z");
    if (const auto n = node.find("x")) x = n->length(coordinate_limits);
    if (const auto n = node.find("y")) y = n->length(coordinate_limits);
    if (const auto n = node.find("z")) z = n->length(coordinate_limits);
}

void read_region(const YamlNode& part, FillingPlan& filling)
{
    if (const auto thickness = part.find("thickness"))
        thickness->fail("belongs to a lining; name its board, or give from and to instead");
    const auto from = part.find("from"), to = part.find("to");
    if (from) read_corner(*from, filling.x_from, filling.y_from, filling.z_from);
    if (to) read_corner(*to, filling.x_to, filling.y_to, filling.z_to);
    const std::pair<const std::optional<double>*, const std::optional<double>*> sides[] = {
        {&filling.x_from, &filling.x_to}, {&filling.y_from, &filling.y_to}, {&filling.z_from, &filling.z_to}};
    for (const auto& [low, high] : sides)
        if (*low && *high && **low >= **high) to->fail("must lie beyond 'from' in every direction");
}

void read_filling(const YamlNode& part, const MaterialLibrary& library, std::set<std::string>& taken, CabinetPlan& plan)
{
    part.only_keys({"name", "material", "amount", "board", "thickness", "from", "to"});
    FillingPlan filling;
    filling.where = part.where();
    const std::string name = read_name(part, taken);
    filling.name = name;
    read_material(part.at("material"), library, filling);
    if (const auto amount = part.find("amount")) {
        filling.amount = amount->ratio(any_ratio);
        if (!(filling.amount >= least_amount && filling.amount <= 1))
            amount->fail(fmt::format("must lie between 1 % and 100 %, got {}", amount->text()));
    }
    const auto board = part.find("board");
    if (!board) {
        read_region(part, filling);
        plan.sound.fillings.push_back(filling);
        return;
    }
    for (std::string_view key : {"from", "to"})
        if (const auto corner = part.find(key)) corner->fail("give either a board and thickness, or from and to");
    filling.thickness = part.at("thickness").length(lining_limits);
    for (const std::string& one : read_board_list(*board, board_names(plan))) {
        filling.board = one;
        filling.name = board->is_sequence() ? fmt::format("{} ({})", name, one) : name;
        plan.sound.fillings.push_back(filling);
    }
}

} // namespace

void read_air(const YamlNode& air, const MaterialLibrary& library, CabinetPlan& plan)
{
    air.only_keys({"leakage", "wall_absorption", "filling"});
    if (const auto leakage = air.find("leakage")) plan.sound.leakage_Q = leakage->number(leakage_limits);
    if (const auto absorption = air.find("wall_absorption"))
        plan.sound.wall_absorption = absorption->ratio(absorption_limits);
    const auto filling = air.find("filling");
    if (!filling) return;
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(*filling)) read_filling(part, library, taken, plan);
    if (plan.sound.fillings.size() > max_parts)
        filling->fail(fmt::format("makes {} fillings, at most {} are read", plan.sound.fillings.size(), max_parts));
}

} // namespace stillwall::app
