#include "app/write/cabinet_report.h"

#include "app/write/numbers.h"
#include "mesh/cabinet/curved.h"
#include "mesh/cabinet/opening.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace stillwall::app {

Vector3d outer_size(const CabinetPlan& plan)
{
    Vector2d low = plan.outline.front(), high = plan.outline.front();
    for (const Vector2d& corner : plan.outline) {
        low = low.cwiseMin(corner);
        high = high.cwiseMax(corner);
    }
    for (std::size_t k = 0; k < plan.walls.size(); ++k) {
        if (plan.walls[k].bulge == 0) continue;
        const Vector2d &a = plan.outline[k], &b = plan.outline[(k + 1) % plan.outline.size()];
        for (const Vector2d& p : arc_extremes(a, b, plan.walls[k].bulge)) {
            low = low.cwiseMin(p);
            high = high.cwiseMax(p);
        }
    }
    // A front that leans forwards overhangs its lower edge.
    const double overhang = std::max(0.0, -plan.height * std::tan(plan.baffle_slope));
    return {high.x() - low.x(), high.y() - low.y() + overhang, plan.height};
}

std::vector<CutLine> cut_list(const Bookkeeping& books)
{
    const auto tenths = [](double length) { return std::lround(length * 1e4); };
    const auto key = [&](const CutLine& line) {
        return std::make_tuple(line.material, -tenths(line.thickness), -tenths(line.length), -tenths(line.width));
    };
    std::vector<CutLine> lines;
    for (const PartLine& part : books.parts) {
        CutLine line{part.material, part.length, part.width, part.thickness, {part.name}};
        const auto same =
            std::find_if(lines.begin(), lines.end(), [&](const CutLine& other) { return key(other) == key(line); });
        if (same == lines.end())
            lines.push_back(std::move(line));
        else
            same->names.push_back(part.name);
    }
    std::stable_sort(lines.begin(), lines.end(), [&](const CutLine& a, const CutLine& b) { return key(a) < key(b); });
    return lines;
}

double open_share(const Board& board)
{
    double open = 0;
    for (const Opening& opening : board.openings) open += opening_area(opening);
    const double face = signed_area(board.sawn);
    return face > 0 ? open / face : 0;
}

double bar_mass(const Bookkeeping& books)
{
    // Round-off must not show as a mass below zero.
    return std::max(0.0, books.mass - books.board_mass - books.insert_mass - books.layer_mass);
}

std::string cabinet_title(const Cabinet& cabinet)
{
    return cabinet.name.empty() ? cabinet.file : cabinet.name;
}

std::string cabinet_head(const CabinetReport& report)
{
    const Vector3d& size = report.outer_size;
    return fmt::format("{}\n  {} × {} × {} mm outside (width × depth × height), {} boards, {} kg, {} litres net\n",
                       cabinet_title(report.cabinet), in_mm(size.x()), in_mm(size.y()), in_mm(size.z()),
                       report.cabinet.boards.size(), in_kg(report.books.mass), in_litres(report.books.net_volume_m3));
}

std::string mass_words(const Bookkeeping& books)
{
    constexpr double shown_from = 0.005; // [kg]
    std::string text = in_kg(books.mass) + " kg: boards " + in_kg(books.board_mass);
    if (bar_mass(books) >= shown_from) text += ", rods and ribs " + in_kg(bar_mass(books));
    if (books.layer_mass >= shown_from) text += ", layers " + in_kg(books.layer_mass);
    if (books.insert_mass >= shown_from) text += ", drivers and fittings " + in_kg(books.insert_mass);
    return text;
}

} // namespace stillwall::app
