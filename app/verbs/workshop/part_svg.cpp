#include "app/verbs/workshop/part_geometry.h"
#include "app/write/numbers.h"
#include "app/write/svg_plot.h"
#include "app/write/thickness.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::app {
namespace {

constexpr const char* style =
    "<style>path,line,circle,rect.part{fill:none;stroke:#222;stroke-width:.5}.cut{fill:#eef2f5}circle.rebate{stroke-"
    "width:.25;fill:#f6f6ee}circle.drill{stroke-width:.25}.mark{stroke:#246;"
    "stroke-width:.25;stroke-dasharray:2 1}"
    ".size,.aid{stroke-width:.18}.aid{stroke:#888}.axis{stroke-width:.18;stroke-dasharray:5 1 1 1}"
    "text{font:3.2px "
    "sans-serif;fill:#111;text-anchor:middle}.left{text-anchor:start}.title{font-size:4.5px;text-anchor:start}</"
    "style>\n";

std::string text(const Vector2d& at, const std::string& words, const std::string& extra = "")
{
    return fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" {}>{}</text>\n", at.x(), at.y(), extra, xml_text(words));
}

std::string line(const Vector2d& a, const Vector2d& b, const char* style_class)
{
    return fmt::format("<line class=\"{}\" x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\"/>\n", style_class,
                       a.x(), a.y(), b.x(), b.y());
}

/// Millimetres of the part on the paper, y downwards.
struct Sheet
{
    Vector2d corner; ///< paper place of the part's lower left
    double scale = 1;
    [[nodiscard]] Vector2d at(const Vector2d& p) const
    {
        return {corner.x() + p.x() * scale, corner.y() - p.y() * scale};
    }
};

std::string path(const Contour& contour, const Sheet& sheet, const char* style_class)
{
    std::string d;
    const std::size_t n = contour.corners.size();
    for (std::size_t i = 0; i <= n; ++i) {
        const Vector2d p = sheet.at(contour.corners[i % n]);
        const double bulge = i > 0 ? contour.bulges[i - 1] : 0;
        if (bulge != 0) {
            const double chord = (contour.corners[i % n] - contour.corners[i - 1]).norm() * sheet.scale;
            const double radius = chord * (1 + bulge * bulge) / (4 * bulge);
            d += fmt::format("A{0:.3f} {0:.3f} 0 0 0 {1:.3f} {2:.3f}", radius, p.x(),
                             p.y()); // anticlockwise above, so on paper too
        } else {
            d += fmt::format("{}{:.3f} {:.3f}", i == 0 ? "M" : "L", p.x(), p.y());
        }
    }
    return fmt::format("<path class=\"{}\" d=\"{}Z\"/>\n", style_class, d);
}

/// Distances of the cut-outs' middles from one edge, as ladders beside the part: each on a line of its own.
std::string ladder(const PartGeometry& part, const Sheet& sheet, int axis)
{
    std::vector<double> places;
    for (const CutOut& cut : part.cut_outs) places.push_back(cut.centre[axis]);
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end(), [](double a, double b) { return std::abs(a - b) < 0.05; }),
                 places.end());
    places.push_back(part.size[axis]);
    std::string svg;
    constexpr double first = 7, step = 6;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const double off = first + step * static_cast<double>(i);
        if (axis == 0) {
            const Vector2d a = sheet.at({0, 0}) + Vector2d(0, off), b = sheet.at({places[i], 0}) + Vector2d(0, off);
            svg += line(a, b, "size") + line(a + Vector2d(0, -1.2), a + Vector2d(0, 1.2), "size") +
                   line(sheet.at({places[i], 0}) + Vector2d(0, 1), b + Vector2d(0, 1.2), "aid");
            svg += text((a + b) / 2 + Vector2d(0, -0.8), in_mm(places[i] / 1e3));
        } else {
            const Vector2d a = sheet.at({0, 0}) + Vector2d(-off, 0), b = sheet.at({0, places[i]}) + Vector2d(-off, 0),
                           middle = (a + b) / 2 + Vector2d(-0.8, 0);
            svg += line(a, b, "size") + line(a + Vector2d(-1.2, 0), a + Vector2d(1.2, 0), "size") +
                   line(sheet.at({0, places[i]}) + Vector2d(-1, 0), b + Vector2d(-1.2, 0), "aid");
            svg += text(middle, in_mm(places[i] / 1e3),
                        fmt::format("transform=\"rotate(-90 {:.2f} {:.2f})\"", middle.x(), middle.y()));
        }
    }
    return svg;
}

std::string cut_out(const CutOut& cut, const Sheet& sheet)
{
    const Vector2d at = sheet.at(cut.centre);
    std::string svg = cut.diameter > 0
                          ? fmt::format("<circle class=\"cut\" cx=\"{:.3f}\" cy=\"{:.3f}\" r=\"{:.3f}\"/>\n", at.x(),
                                        at.y(), cut.diameter / 2 * sheet.scale)
                          : path(cut.contour, sheet, "cut");
    svg += line(at + Vector2d(-4, 0), at + Vector2d(4, 0), "axis") +
           line(at + Vector2d(0, -4), at + Vector2d(0, 4), "axis");
    return svg + text(at + Vector2d(0, -5), cut.name) + text(at + Vector2d(0, 8), cut.size);
}

/// A usual scale at which the part goes on an A4 sheet.
int reduction_for(const Vector2d& size)
{
    const std::array<int, 7> reductions{1, 2, 5, 10, 20, 50, 100};
    for (const int n : reductions)
        if (size.x() / n <= 190 && size.y() / n <= 190) return n;
    return reductions.back();
}

} // namespace

std::string part_svg(const WorkshopReport& report, std::size_t index)
{
    const PartGeometry part = geometry_of(report, index);
    const SawnPart& sawn = report.parts.at(index);
    const int reduction = reduction_for(part.size);
    const double ladders = 12 + 6 * static_cast<double>(part.cut_outs.size() + 1);
    const Vector2d drawn = part.size / reduction;
    const double width = std::max(150.0, drawn.x() + ladders + 20),
                 height = drawn.y() + ladders + 36 + 5 * static_cast<double>(sawn.notes.size());
    const Sheet sheet{{ladders, 26 + drawn.y()}, 1.0 / reduction};
    std::string svg = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" "
                                  "viewBox=\"0 0 {0:.1f} {1:.1f}\">\n"
                                  "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
                                  width, height);
    svg += style;
    svg += text({8, 9}, fmt::format("{}: {}, {} thick", sawn.name, sawn.material, thickness_mm(sawn.thickness)),
                "class=\"title\"");
    const bool is_wall = report.cabinet.boards.at(index).kind == Board::Kind::Wall;
    svg += text({8, 15},
                fmt::format("scale 1:{}, sizes in mm; seen from {}; dashed: where braces stand", reduction,
                            is_wall ? "outside" : "the side its normal points to"),
                "class=\"left\"");
    svg += path(part.outline, sheet, "part");
    for (const Contour& slot : part.slots) svg += path(slot, sheet, "cut");
    for (const PartGeometry::Mark& mark : part.marks)
        svg += line(sheet.at(mark.line[0]), sheet.at(mark.line[1]), "mark");
    for (const auto* rounds : {&part.rebates, &part.drills})
        for (const PartGeometry::Round& round : *rounds)
            svg += fmt::format("<circle class=\"{}\" cx=\"{:.3f}\" cy=\"{:.3f}\" r=\"{:.3f}\"/>\n",
                               rounds == &part.rebates ? "rebate" : "drill", sheet.at(round.centre).x(),
                               sheet.at(round.centre).y(), round.diameter / 2 * sheet.scale);
    for (const CutOut& cut : part.cut_outs) svg += cut_out(cut, sheet);
    svg += ladder(part, sheet, 0) + ladder(part, sheet, 1);
    if (sawn.has_grain) {
        const double turn = report.cabinet.boards.at(index).grain;
        const Vector2d at = sheet.at(part.size) + Vector2d(9, 12), along(7 * std::cos(turn), -7 * std::sin(turn));
        svg += line(at - along, at + along, "size") + text(at + Vector2d(0, 14), "grain");
    }
    double y = height - 5 * static_cast<double>(sawn.notes.size()) - 2;
    for (const std::string& note : sawn.notes) svg += text({8, y += 5}, note, "class=\"left\"");
    return svg + "</svg>\n";
}

std::string sheets_svg(const WorkshopReport& report)
{
    constexpr double margin = 60, gap = 140; // [mm] of wood
    double width = 600, height = margin;
    for (const UsedSheet& sheet : report.layout.sheets) {
        width = std::max(width, report.plan.sheets[sheet.stock].length * 1e3 + 2 * margin);
        height += report.plan.sheets[sheet.stock].width * 1e3 + gap;
    }
    std::string svg =
        fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1200\" viewBox=\"0 0 {:.0f} {:.0f}\" "
                    "font-family=\"sans-serif\" "
                    "font-size=\"{:.0f}\" fill=\"#222\">\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
                    width, height, width / 70);
    double top = margin;
    int number = 0;
    for (const UsedSheet& sheet : report.layout.sheets) {
        const SheetStock& stock = report.plan.sheets[sheet.stock];
        const double share = sheet.used / (stock.length * stock.width);
        svg += fmt::format(
            "<text x=\"{}\" y=\"{:.0f}\">{}</text>\n", margin, top + 10,
            xml_text(fmt::format("board {}: {}, {} × {} mm, {} used, {} cuts", ++number, stock.material,
                                 in_mm(stock.length), in_mm(stock.width), in_percent(share), sheet.n_cuts)));
        const double y0 = top + 30;
        svg += fmt::format("<rect x=\"{}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#eee7dc\" "
                           "stroke=\"#222\" stroke-width=\"2\"/>\n",
                           margin, y0, stock.length * 1e3, stock.width * 1e3);
        for (const PlacedPart& placed : sheet.parts) {
            const double x = margin + placed.x * 1e3, y = y0 + placed.y * 1e3, w = placed.along * 1e3,
                         h = placed.across * 1e3;
            svg += fmt::format(
                "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#fff\" stroke=\"#222\"/>\n",
                x, y, w, h);
            svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n", x + w / 2,
                               y + h / 2, xml_text(report.blanks[placed.part].name));
            svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{} × {}</text>\n", x + w / 2,
                               y + h / 2 + width / 60, in_mm(placed.along), in_mm(placed.across));
        }
        top += stock.width * 1e3 + gap;
    }
    return svg + "</svg>\n";
}

} // namespace stillwall::app
