#include "app/write/internal/cabinet_attached.h"

#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/basket_estimate.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <set>

namespace stillwall::app {
namespace {

using enum Align;

constexpr double line_unit = 1e6; // [Pa]: N/mm per mm of line

std::string with_range(const Quantity& quantity, double unit)
{
    constexpr int digits = 2;
    const auto number = [&](double value) { return shortest(value / unit, digits); };
    if (quantity.low == quantity.high) return number(quantity.value);
    return fmt::format("{} ({}–{})", number(quantity.value), number(quantity.low), number(quantity.high));
}

std::string layers_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {
        {"Layer", Left},      {"Board", Left},         {"Face", Left},  {"Made of, from the board", Left, 40},
        {"Covers m²", Right}, {"of the board", Right}, {"kg/m²", Right}};
    for (const FaceLayer& layer : report.cabinet.layers) {
        double surface_mass = 0;
        for (const Ply& ply : layer.layup.plies)
            surface_mass += ply.thickness * report.cabinet.materials[static_cast<std::size_t>(ply.material)].rho.value;
        const double face = report.books.parts[static_cast<std::size_t>(layer.board)].area;
        table.rows.push_back({layer.name, report.cabinet.board(layer.board).name, layer.side < 0 ? "inside" : "outside",
                              layer.layup.label, fmt::format("{:.3f}", layer.area),
                              face > 0 ? in_percent(layer.area / face) : "–", significant(surface_mass, 2)});
    }
    if (table.rows.empty()) return {};
    return '\n' + table.text() + fmt::format("  Damping is taken at {} °C.\n", shortest(report.cabinet.temperature, 3));
}

std::string joints_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Joint not glued", Left}, {"Comes off", Left},   {"From", Left}, {"Length mm", Right},
                     {"Across N/mm²", Left},    {"Along N/mm²", Left}, {"Loss", Left}};
    for (const Junction& junction : report.cabinet.junctions) {
        if (!junction.spring) continue;
        const LineSpring& spring = *junction.spring;
        const int other = spring.removable == junction.passing ? junction.ending : junction.passing;
        table.rows.push_back({spring.name, report.cabinet.board(spring.removable).name,
                              report.cabinet.board(other).name, in_mm((junction.to - junction.from).norm()),
                              with_range(spring.normal, line_unit), with_range(spring.shear, line_unit),
                              with_range(spring.loss, 1)});
    }
    if (table.rows.empty()) return {};
    return '\n' + table.text() + "  Stiffness per metre of joint, with its range; 1 N/mm² is 1 MN/m per metre.\n";
}

std::string mounts_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Driver held softly", Left}, {"Rim MN/m", Left},  {"Loss", Left},
                     {"Rear touches", Left},       {"Rear MN/m", Left}, {"Loss", Left}};
    constexpr double MN = 1e6;
    for (const Board& board : report.cabinet.boards)
        for (const Opening& opening : board.openings) {
            const InsertPlan& insert = opening.insert;
            const auto& mount = insert.mount;
            const auto& tie = insert.rear_tie;
            if (!mount && !tie) continue;
            table.rows.push_back({opening.name, mount ? with_range(mount->stiffness, MN) : "hard",
                                  mount ? with_range(mount->loss, 1) : "–", tie ? tie->board : "–",
                                  tie ? with_range(tie->spring.stiffness, MN) : "–",
                                  tie ? with_range(tie->spring.loss, 1) : "–"});
        }
    return table.rows.empty() ? std::string() : '\n' + table.text();
}

std::string baskets_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Driver's basket", Left}, {"Kind", Left},     {"Mass on rim", Left}, {"Rim N m²", Left},
                     {"Motor Hz", Left},        {"Rocks Hz", Left}, {"Loss", Left}};
    bool is_estimated = false;
    for (const Board& board : report.cabinet.boards)
        for (const Opening& opening : board.openings) {
            if (opening.insert.kind != InsertPlan::Kind::Driver) continue;
            const auto& basket = opening.insert.basket;
            if (!basket) {
                table.rows.push_back({opening.name, "rigid", "–", "–", "–", "–", "–"});
                continue;
            }
            table.rows.push_back({opening.name, basket_word(basket->kind), with_range(basket->rim_share, 1),
                                  with_range(basket->rim_EI, 1), with_range(basket->axial_Hz, 1),
                                  with_range(basket->rocking_Hz, 1), with_range(basket->loss, 1)});
            for (const Quantity* q : {&basket->rim_share, &basket->rim_EI, &basket->axial_Hz, &basket->rocking_Hz})
                is_estimated = is_estimated || !q->confirmed.empty();
        }
    if (table.rows.empty()) return {};
    std::string text = '\n' + table.text();
    if (is_estimated)
        text += "  Figures with a range are estimated from size, mass and kind, from memory: write `basket` in the "
                "driver.\n";
    return text;
}

std::string supports_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Support", Left},
                     {"Board", Left},
                     {"Kind", Left},
                     {"Stands on", Left},
                     {"One foot, x / y / z, kN/m", Left},
                     {"Range, times", Left},
                     {"Loss", Left}};
    constexpr double kN = 1e3;
    for (const Support& support : report.cabinet.supports) {
        const std::string& board = report.cabinet.board(support.board).name;
        if (support.is_clamped_edge) {
            table.rows.push_back({support.name, board, "clamped",
                                  "edge at " + report.cabinet.board(*support.neighbour).name, "–", "–", "–"});
            continue;
        }
        const auto number = [&](int axis) { return shortest(support.stiffness(axis) / kN, 3); };
        const Quantity& range = support.stiffness_range;
        table.rows.push_back(
            {support.name, board, support.kind.empty() ? "own figures" : support.kind,
             support.points.size() == 1 ? "1 point" : fmt::format("{} points", support.points.size()),
             fmt::format("{} / {} / {}", number(0), number(1), number(2)),
             range.low < range.high ? fmt::format("{}–{}", shortest(range.low, 2), shortest(range.high, 2)) : "–",
             with_range(support.loss, 1)});
    }
    return table.rows.empty() ? std::string() : '\n' + table.text();
}

nlohmann::ordered_json range_json(const Quantity& quantity, double unit)
{
    return {quantity.low / unit, quantity.value / unit, quantity.high / unit};
}

nlohmann::ordered_json layers_json(const Cabinet& cabinet)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const FaceLayer& layer : cabinet.layers)
        list.push_back({{"name", layer.name},
                        {"board", cabinet.board(layer.board).name},
                        {"face", layer.side < 0 ? "inside" : "outside"},
                        {"material", layer.layup.label},
                        {"thickness_mm", layer.layup.thickness() / units::mm},
                        {"area_m2", layer.area}});
    return list;
}

nlohmann::ordered_json joints_json(const Cabinet& cabinet)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const Junction& junction : cabinet.junctions) {
        if (!junction.spring) continue;
        const LineSpring& spring = *junction.spring;
        const int other = spring.removable == junction.passing ? junction.ending : junction.passing;
        list.push_back({{"name", spring.name},
                        {"removable", cabinet.board(spring.removable).name},
                        {"neighbour", cabinet.board(other).name},
                        {"length_mm", (junction.to - junction.from).norm() / units::mm},
                        {"contact_width_mm", spring.width / units::mm},
                        {"normal_N_per_mm2", range_json(spring.normal, line_unit)},
                        {"shear_N_per_mm2", range_json(spring.shear, line_unit)},
                        {"turning_Nm_per_rad_per_m", range_json(spring.turning, 1)},
                        {"loss", range_json(spring.loss, 1)}});
    }
    return list;
}

nlohmann::ordered_json mounts_json(const Cabinet& cabinet)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const Board& board : cabinet.boards)
        for (const Opening& opening : board.openings) {
            const InsertPlan& insert = opening.insert;
            if (!insert.mount && !insert.rear_tie) continue;
            nlohmann::ordered_json mount = {{"name", opening.name}};
            if (insert.mount) {
                mount["rim_stiffness_N_per_m"] = range_json(insert.mount->stiffness, 1);
                mount["rim_loss"] = range_json(insert.mount->loss, 1);
            }
            if (const auto& tie = insert.rear_tie) {
                mount["rear_touches"] = tie->board;
                mount["rear_depth_mm"] = tie->depth / units::mm;
                mount["rear_stiffness_N_per_m"] = range_json(tie->spring.stiffness, 1);
                mount["rear_loss"] = range_json(tie->spring.loss, 1);
            }
            list.push_back(std::move(mount));
        }
    return list;
}

nlohmann::ordered_json baskets_json(const Cabinet& cabinet)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const Board& board : cabinet.boards)
        for (const Opening& opening : board.openings) {
            if (opening.insert.kind != InsertPlan::Kind::Driver) continue;
            nlohmann::ordered_json one = {{"name", opening.name}, {"kind", "rigid"}};
            if (const auto& basket = opening.insert.basket) {
                one["kind"] = basket_word(basket->kind);
                one["rim_mass_share"] = range_json(basket->rim_share, 1);
                one["rim_stiffness_N_m2"] = range_json(basket->rim_EI, 1);
                one["motor_frequency_hz"] = range_json(basket->axial_Hz, 1);
                one["rocking_frequency_hz"] = range_json(basket->rocking_Hz, 1);
                one["loss"] = range_json(basket->loss, 1);
            }
            list.push_back(std::move(one));
        }
    return list;
}

nlohmann::ordered_json supports_json(const Cabinet& cabinet)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const Support& support : cabinet.supports) {
        nlohmann::ordered_json one = {{"name", support.name}, {"board", cabinet.board(support.board).name}};
        if (support.is_clamped_edge) {
            one["clamped_edge_at"] = cabinet.board(*support.neighbour).name;
        } else {
            one["kind"] = support.kind;
            one["points"] = support.points.size();
            one["stiffness_xyz_N_per_m"] = {support.stiffness.x(), support.stiffness.y(), support.stiffness.z()};
            one["stiffness_range"] = range_json(support.stiffness_range, 1);
            one["loss"] = range_json(support.loss, 1);
        }
        list.push_back(std::move(one));
    }
    return list;
}

} // namespace

std::string attached_tables(const CabinetReport& report)
{
    return layers_table(report) + joints_table(report) + mounts_table(report) + baskets_table(report) +
           supports_table(report);
}

std::string layer_cautions(const Cabinet& cabinet)
{
    std::set<std::string> cautions;
    for (const FaceLayer& layer : cabinet.layers)
        for (const Ply& ply : layer.layup.plies)
            cautions.insert(cabinet.materials[static_cast<std::size_t>(ply.material)].caution);
    std::string text;
    for (const std::string& caution : cautions)
        if (!caution.empty())
            for (const std::string& line : wrap_text("Layers: " + caution, page_width - 4)) text += "  " + line + '\n';
    return text;
}

void add_attached(const CabinetReport& report, nlohmann::ordered_json& document)
{
    document["temperature_C"] = report.cabinet.temperature;
    document["layers"] = layers_json(report.cabinet);
    document["joints"] = joints_json(report.cabinet);
    document["mounts"] = mounts_json(report.cabinet);
    document["baskets"] = baskets_json(report.cabinet);
    document["supports"] = supports_json(report.cabinet);
}

} // namespace stillwall::app
