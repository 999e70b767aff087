#include "app/verbs/workshop/workshop_report.h"
#include "app/write/cabinet_json.h"
#include "app/write/cabinet_report.h"
#include "app/write/finite.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "app/write/thickness.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

namespace stillwall::app {
namespace {

using enum Align;

/// Parts that are sawn alike.
struct Same
{
    const SawnPart* part = nullptr;
    std::vector<std::string> names;
};

bool is_alike(const SawnPart& a, const SawnPart& b)
{
    constexpr double tenth = 1e-4;
    return a.material == b.material && std::abs(a.length - b.length) < tenth && std::abs(a.width - b.width) < tenth &&
           a.notes == b.notes && a.n_cutouts == 0 && b.n_cutouts == 0 && a.is_rectangle && b.is_rectangle;
}

std::string joined(const std::vector<std::string>& words)
{
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::string cut_table(const WorkshopReport& report)
{
    std::vector<Same> list;
    for (const SawnPart& part : report.parts) {
        auto found = std::find_if(list.begin(), list.end(), [&](const Same& s) { return is_alike(*s.part, part); });
        if (found == list.end()) found = list.insert(list.end(), {&part, {}});
        found->names.push_back(part.name);
    }
    TextTable table;
    table.columns = {{"Pieces", Right}, {"Finished mm", Left}, {"Thick mm", Right}, {"Material", Left, 24},
                     {"Grain", Left},   {"For", Left, 22},     {"Cut-outs", Right}, {"kg each", Right}};
    std::vector<std::string> notes;
    for (const Same& same : list) {
        const SawnPart& p = *same.part;
        table.rows.push_back({fmt::format("{}", same.names.size()),
                              in_mm(p.length) + " × " + in_mm(p.width) + (p.is_rectangle ? "" : " *"),
                              thickness_mm(p.thickness), p.material, p.has_grain ? "along " + in_mm(p.length) : "any",
                              joined(same.names), p.n_cutouts > 0 ? fmt::format("{}", p.n_cutouts) : "–",
                              in_kg(p.mass)});
        for (const std::string& note : p.notes) notes.push_back(joined(same.names) + ": " + note);
    }
    std::string text = table.text();
    for (const std::string& note : notes) text += wrapped(note, "    ", "  - ");
    if (std::any_of(report.parts.begin(), report.parts.end(), [](const SawnPart& p) { return !p.is_rectangle; }))
        text += "  * cut out of this rectangle, see its drawing; where boards meet at a slant the size is that of the "
                "longer face.\n";
    return text;
}

/// Sheets of boards that are glued up.
std::string blanks_table(const WorkshopReport& report)
{
    TextTable table;
    table.columns = {{"Sheets to glue up", Left, 34}, {"Sawn mm", Left}, {"Thick mm", Right}, {"Material", Left, 30}};
    for (const SawnPart& part : report.parts) {
        if (part.sheets.empty()) continue;
        for (const SawnPart& blank : blanks_of({part}))
            table.rows.push_back({blank.name, in_mm(blank.length) + " × " + in_mm(blank.width),
                                  thickness_mm(blank.thickness), blank.material});
    }
    if (table.rows.empty()) return {};
    return '\n' + table.text() +
           fmt::format(
               "  Sheet 1 is the inner one. Each is sawn {} mm over, both ways; glued, the board is sawn to size.\n",
               in_mm(glue_up_allowance));
}

/// Rods, ribs and layers: not sawn from the boards.
std::string other_table(const WorkshopReport& report)
{
    TextTable table;
    table.columns = {
        {"Besides", Left, 30}, {"Material", Left, 36}, {"Length × width × thickness mm", Left}, {"kg", Right}};
    for (std::size_t i = report.cabinet.boards.size(); i < report.books.parts.size(); ++i) {
        const PartLine& p = report.books.parts[i];
        table.rows.push_back({p.name, p.material,
                              fmt::format("{} × {} × {}", in_mm(p.length), in_mm(p.width), thickness_mm(p.thickness)),
                              in_kg(p.mass)});
    }
    return table.rows.empty() ? std::string() : '\n' + table.text();
}

std::string sheets_words(const WorkshopReport& report)
{
    std::string text = "\n";
    const SheetLayout& layout = report.layout;
    if (report.plan.sheets.empty()) return "\n  No boards are listed under workshop.sheets, so nothing is laid out.\n";
    int number = 0;
    double price = 0;
    bool has_all_prices = true;
    for (const UsedSheet& sheet : layout.sheets) {
        const SheetStock& stock = report.plan.sheets[sheet.stock];
        std::vector<std::string> names;
        for (const PlacedPart& placed : sheet.parts) names.push_back(report.blanks[placed.part].name);
        text += wrapped(fmt::format("Board {}: {}, {} × {} mm, {} used, {} cuts: {}", ++number, stock.material,
                                    in_mm(stock.length), in_mm(stock.width),
                                    in_percent(sheet.used / (stock.length * stock.width)), sheet.n_cuts, joined(names)),
                        "    ", "  ");
        price += stock.price.value_or(0);
        has_all_prices = has_all_prices && stock.price;
    }
    if (!layout.sheets.empty())
        text += fmt::format("  Waste   {} of the boards bought, with a kerf of {} mm and {} mm off every edge{}\n",
                            in_percent(layout.waste(report.plan)), in_mm(report.plan.kerf), in_mm(report.plan.trim),
                            has_all_prices ? fmt::format("; {:.2f} for the boards to buy", price) : "");
    if (const std::optional<double> by_area = price_by_area(report.blanks, report.plan))
        text +=
            fmt::format("  Price by area {:.2f}: the parts' share of the boards, as schemes are compared\n", *by_area);
    const auto list = [&](const std::vector<std::size_t>& parts, const char* words) {
        if (parts.empty()) return;
        std::vector<std::string> names;
        for (const std::size_t p : parts)
            names.push_back(report.blanks[p].name + " (" + report.blanks[p].material + ")");
        text += wrapped(words + joined(names), "    ", "  ");
    };
    list(layout.without_stock, "No board listed for: ");
    list(layout.too_large, "Larger than every board listed: ");
    return text;
}

std::string volume_table(const WorkshopReport& report)
{
    TextTable table;
    table.columns = {{"Litres", Right}, {"", Left, 60}};
    for (const VolumeLine& line : report.volumes)
        table.rows.push_back({with_minus(fmt::format("{:.2f}", line.volume * 1e3)),
                              line.kind == "walls" ? line.name : line.kind + " " + line.name});
    table.rows.push_back({fmt::format("{:.2f}", report.books.net_volume_m3 * 1e3), "net"});
    return '\n' + table.text();
}

std::string weight_words(const WorkshopReport& report)
{
    const Stability& s = report.stability;
    std::string text = "\n" + wrapped("Weight  " + mass_words(report.books));
    std::vector<std::string> fittings;
    for (const Board& board : report.cabinet.boards)
        for (const Opening& o : board.openings)
            if (o.insert.mass > 0) fittings.push_back(fmt::format("{} {}", o.name, in_kg(o.insert.mass)));
    if (!fittings.empty()) text += wrapped("        Fittings: " + joined(fittings));
    text += fmt::format("  Balance centre of mass at x {}, y {}, z {} mm; ", in_mm(s.centre.x()), in_mm(s.centre.y()),
                        in_mm(s.centre.z()));
    if (s.tipping_angle <= 0) return text + "IT DOES NOT STAND: the centre lies outside what it stands on\n";
    const double degrees = s.tipping_angle * 180 / std::numbers::pi;
    text += fmt::format("falls to the {} at a tilt of {:.0f}° ({})\n", s.towards, degrees,
                        s.on_feet ? "on its feet" : "on its whole bottom");
    if (degrees < 10)
        text += "          Under 10°, what stability rules for apparatus commonly ask: fix it to the wall or widen its "
                "base.\n";
    return text;
}

using Json = nlohmann::ordered_json;

Json part_json(const Cabinet& cabinet, const SawnPart& p)
{
    Json part{{"name", p.name},
              {"material", p.material},
              {"length_mm", finite(p.length, "length") * 1e3},
              {"width_mm", p.width * 1e3},
              {"thickness_mm", p.thickness * 1e3},
              {"grain_along_length", p.has_grain},
              {"is_rectangle", p.is_rectangle},
              {"cutouts", p.n_cutouts},
              {"mass_kg", p.mass},
              {"notes", p.notes}};
    part["slots"] = Json::array();
    for (const HalvingSlot& s : p.slots)
        part["slots"].push_back({{"for", cabinet.board(s.partner).name},
                                 {"width_mm", s.width * 1e3},
                                 {"length_mm", s.length() * 1e3},
                                 {"right_through", s.is_through}});
    part["bevels"] = Json::array();
    for (const Bevel& b : p.bevels.edges)
        part["bevels"].push_back(
            {{"at", b.at}, {"tilt_deg", b.angle * 180 / std::numbers::pi}, {"longer_on_plus_face", b.is_long_on_plus}});
    return part;
}

std::string cautions(const WorkshopReport& report)
{
    std::string text = "\n  Dust    Wood dust harms the lungs, MDF and glued boards give off formaldehyde: extraction "
                       "and a P2 mask, also when sanding.\n"
                       "  Saw     Guard on, riving knife set, push stick for narrow parts; unplug before changing the "
                       "blade. Clamp before plunge cuts.\n";
    if (report.books.mass > 25)
        text += fmt::format("  Lifting {} kg: two people lift this, backs straight.\n", in_kg(report.books.mass));
    std::set<std::string> told;
    for (const Material& m : report.cabinet.materials)
        if (!m.caution.empty() && told.insert(m.caution).second)
            text += wrapped((m.title.empty() ? m.name : m.title) + ": " + m.caution, "          ", "  Mind    ");
    return text + "  Sizes are those of the drawing: measure the board you bought, its thickness first. Local rules "
                  "and practice come first.\n";
}

} // namespace

std::string workshop_text(const WorkshopReport& report)
{
    return cabinet_title(report.cabinet) + ": to the workshop\n\n" + cut_table(report) + blanks_table(report) +
           other_table(report) + sheets_words(report) + volume_table(report) + weight_words(report) + cautions(report);
}

std::string workshop_json(const WorkshopReport& report)
{
    Json json = document_head();
    json["cabinet"] = cabinet_title(report.cabinet);
    json["kerf_mm"] = report.plan.kerf * 1e3;
    json["trim_mm"] = report.plan.trim * 1e3;
    json["parts"] = Json::array();
    for (const SawnPart& p : report.parts) json["parts"].push_back(part_json(report.cabinet, p));
    json["boards"] = Json::array();
    for (const UsedSheet& sheet : report.layout.sheets) {
        const SheetStock& stock = report.plan.sheets[sheet.stock];
        Json one{{"material", stock.material},
                 {"length_mm", stock.length * 1e3},
                 {"width_mm", stock.width * 1e3},
                 {"cuts", sheet.n_cuts},
                 {"used_share", sheet.used / (stock.length * stock.width)}};
        one["price"] = stock.price ? Json(*stock.price) : Json();
        for (const PlacedPart& placed : sheet.parts)
            one["parts"].push_back({{"name", report.blanks[placed.part].name},
                                    {"x_mm", placed.x * 1e3},
                                    {"y_mm", placed.y * 1e3},
                                    {"along_mm", placed.along * 1e3},
                                    {"across_mm", placed.across * 1e3}});
        json["boards"].push_back(std::move(one));
    }
    const std::optional<double> by_area = price_by_area(report.blanks, report.plan);
    json["price_by_area"] = by_area ? Json(*by_area) : Json();
    const auto names = [&](const std::vector<std::size_t>& parts) {
        Json list = Json::array();
        for (const std::size_t p : parts) list.push_back(report.blanks[p].name);
        return list;
    };
    json["without_board_for_sale"] = names(report.layout.without_stock);
    json["larger_than_boards_for_sale"] = names(report.layout.too_large);
    json["waste_share"] = report.layout.waste(report.plan);
    json["volumes"] = Json::array();
    for (const VolumeLine& line : report.volumes)
        json["volumes"].push_back({{"name", line.name}, {"kind", line.kind}, {"litres", line.volume * 1e3}});
    json["net_volume_l"] = report.books.net_volume_m3 * 1e3;
    json["mass_kg"] = report.books.mass;
    const Stability& s = report.stability;
    json["balance"] = {
        {"centre_x_mm", s.centre.x() * 1e3}, {"centre_y_mm", s.centre.y() * 1e3},
        {"centre_z_mm", s.centre.z() * 1e3}, {"tipping_angle_deg", s.tipping_angle * 180 / std::numbers::pi},
        {"falls_towards", s.towards},        {"on_feet", s.on_feet}};
    return json.dump(2) + '\n';
}

} // namespace stillwall::app
