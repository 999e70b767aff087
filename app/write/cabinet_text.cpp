#include "app/write/cabinet_report.h"
#include "app/write/internal/cabinet_attached.h"
#include "app/write/internal/cabinet_chambers.h"
#include "app/write/numbers.h"
#include "app/write/openings.h"
#include "app/write/text_table.h"
#include "app/write/thickness.h"
#include "mesh/cabinet/opening.h"

#include <fmt/format.h>

#include <cmath>

#include <map>

namespace stillwall::app {
namespace {

using enum Align;

/// What the part with this place in the list is.
std::string kind_of(const Cabinet& cabinet, std::size_t part)
{
    const std::size_t n_boards = cabinet.boards.size(), n_rods = cabinet.rods.size(), n_ribs = cabinet.ribs.size();
    if (part < n_boards) return cabinet.boards[part].kind == Board::Kind::Brace ? "brace" : "wall";
    if (part < n_boards + n_rods) return "rod";
    return part < n_boards + n_rods + n_ribs ? "rib" : "layer";
}

std::string boards_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Board", Left},     {"Kind", Left},     {"Material", Left, 36}, {"Sawn size mm", Left},
                     {"Thick mm", Right}, {"Openings", Left}, {"Mass kg", Right}};
    for (std::size_t i = 0; i < report.books.parts.size(); ++i) {
        const PartLine& part = report.books.parts[i];
        std::string open;
        if (i < report.cabinet.boards.size()) {
            const Board& board = report.cabinet.boards[i];
            if (!board.openings.empty())
                open = fmt::format("{}, open {}", board.openings.size(), in_percent(open_share(board)));
        }
        table.rows.push_back({part.name, kind_of(report.cabinet, i), part.material,
                              in_mm(part.length) + " × " + in_mm(part.width), thickness_mm(part.thickness), open,
                              in_kg(part.mass)});
    }
    return table.text();
}

std::string openings_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Opening", Left}, {"Board", Left}, {"Size mm", Left}, {"Holds", Left}, {"Mass kg", Right}};
    for (const Board& board : report.cabinet.boards)
        for (const Opening& opening : board.openings) {
            const bool is_filled = opening.insert.kind != InsertPlan::Kind::None;
            table.rows.push_back({opening.name, board.name, opening_size(opening),
                                  is_filled ? insert_word(opening.insert.kind) : "–",
                                  is_filled ? in_kg(opening.insert.mass) : "–"});
        }
    return table.rows.empty() ? std::string() : '\n' + table.text();
}

/// Curved boards' sizes are those before bending.
std::string bent_words(const Cabinet& cabinet)
{
    std::string bent;
    for (const Board& board : cabinet.boards)
        if (board.frame.curvature != 0)
            bent += fmt::format("{}{} to a radius of {} mm at its middle", bent.empty() ? "" : ", ", board.name,
                                in_mm(1 / std::abs(board.frame.curvature)));
    return bent.empty() ? "" : wrapped("Rolled out, to be bent: " + bent + " (`workshop` tells more).");
}

std::string cut_list_table(const CabinetReport& report)
{
    TextTable table;
    table.columns = {{"Pieces", Right},
                     {"Cut list: length × width × thickness mm", Left},
                     {"Material", Left, 36},
                     {"For", Left, 40}};
    for (const CutLine& line : cut_list(report.books)) {
        std::string names;
        for (const std::string& name : line.names) {
            if (!names.empty()) names += ", ";
            names += name;
        }
        table.rows.push_back(
            {fmt::format("{}", line.names.size()),
             fmt::format("{} × {} × {}", in_mm(line.length), in_mm(line.width), thickness_mm(line.thickness)),
             line.material, names});
    }
    std::map<std::string, double> area_by_material; // [m²], boards only: rods and ribs are not sawn from sheets
    for (std::size_t i = 0; i < report.cabinet.boards.size(); ++i) {
        const PartLine& part = report.books.parts[i];
        area_by_material[part.material] += part.length * part.width;
    }
    std::string text = '\n' + table.text() + "\n  Sheets, without saw cuts and waste:";
    const char* separator = " ";
    for (const auto& [material, area] : area_by_material) {
        text += fmt::format("{}{:.2f} m² {}", separator, area, material);
        separator = ", ";
    }
    return text +
           "\n  Sizes are the blanks' longest edges; where boards meet at a slant, bevel from the longer face.\n" +
           bent_words(report.cabinet) +
           "  Sawing: extraction and a dust mask (wood dust; MDF also formaldehyde), guard on the blade.\n";
}

} // namespace

std::string check_text(const CabinetReport& report)
{
    const Bookkeeping& books = report.books;
    const Vector3d& size = report.outer_size;
    std::string text = fmt::format("{}\n  {} × {} × {} mm outside (width × depth × height)\n\n",
                                   cabinet_title(report.cabinet), in_mm(size.x()), in_mm(size.y()), in_mm(size.z()));
    text += boards_table(report) + openings_table(report) + attached_tables(report);
    text += fmt::format("\n  Volume  {} litres net; {} inside the bare walls, {} taken by braces and fittings\n",
                        in_litres(books.net_volume_m3), in_litres(books.gross_volume_m3),
                        in_litres(books.gross_volume_m3 - books.net_volume_m3));
    text += fmt::format("  Mass    {}\n", mass_words(books)) + chambers_text(report);
    return text + cut_list_table(report) + layer_cautions(report.cabinet);
}

} // namespace stillwall::app
