#include "app/write/svg_parts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app::svg {

double width_of(const std::string& text)
{
    return letter * display_width(text);
}

std::string text_at(double x, double y, const std::string& text, const std::string& extra)
{
    return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\"{}{}>{}</text>\n", x, y, extra.empty() ? "" : " ", extra,
                       xml_text(text));
}

std::string line_from(double x1, double y1, double x2, double y2, const std::string& style)
{
    return fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" {}/>\n", x1, y1, x2, y2, style);
}

double share_of(const PlotAxis& axis, double value)
{
    if (axis.is_logarithmic) return std::log(value / axis.low) / std::log(axis.high / axis.low);
    return (value - axis.low) / (axis.high - axis.low);
}

std::string symbol_at(double x, double y, PlotMark::Symbol symbol)
{
    switch (symbol) {
    case PlotMark::Symbol::Triangle:
        return fmt::format("<path d=\"M{:.1f} {:.1f}l8 14h-16z\" fill=\"#D55E00\" stroke=\"#fff\"/>\n", x, y - 9);
    case PlotMark::Symbol::Diamond:
        return fmt::format("<path d=\"M{:.1f} {:.1f}l7 8l-7 8l-7-8z\" fill=\"#0072B2\" stroke=\"#fff\"/>\n", x, y - 8);
    case PlotMark::Symbol::Stroke:
        return line_from(x, y - 8, x, y + 8, "stroke=\"#222\" stroke-width=\"2.5\"");
    case PlotMark::Symbol::Circle:
        break;
    }
    return fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"3.5\" fill=\"#fff\" stroke=\"#666\" "
                       "stroke-width=\"1.3\"/>\n",
                       x, y);
}

std::string bar_at(const Rectangle& r, bool has_edges, bool is_strong)
{
    std::string svg = fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#56B4E9\" "
                                  "fill-opacity=\"{}\"/>\n",
                                  r.left, r.top, r.right - r.left, r.bottom - r.top, is_strong ? 0.4 : 0.16);
    if (!has_edges) return svg;
    const std::string style =
        fmt::format("stroke=\"#0072B2\" stroke-opacity=\"{}\" stroke-width=\"1.6\"", is_strong ? 1.0 : 0.4);
    return svg + line_from(r.left, r.top, r.right, r.top, style) +
           line_from(r.left, r.bottom, r.right, r.bottom, style + " stroke-dasharray=\"3 2\"");
}

std::string bars(const Frame& frame)
{
    std::string svg;
    constexpr double least = 3; // [px] half-width
    for (const PlotBar& bar : frame.panel.bars) {
        Rectangle r{frame.x(bar.x_low), frame.y(bar.y_high), frame.x(bar.x_high), frame.y(bar.y_low)};
        const double middle = (r.left + r.right) / 2;
        r.left = std::min(r.left, middle - least);
        r.right = std::max(r.right, middle + least);
        svg += bar_at(r, bar.has_edges, bar.is_strong);
    }
    return svg;
}

namespace {

/// Room for a label beside a mark: over it, rising, then right, left, below.
Rectangle label_place(double x, double y, double width, const Rectangle& box, const std::vector<Rectangle>& taken)
{
    const double height = font + 3, away = 12;
    const auto centred = [&](double cx, double cy) {
        return Rectangle{cx - width / 2, cy - height / 2, cx + width / 2, cy + height / 2};
    };
    const auto is_free = [&](const Rectangle& r) {
        return box.holds(r) && std::none_of(taken.begin(), taken.end(), [&](const Rectangle& t) { return r.meets(t); });
    };
    std::vector<Rectangle> wishes;
    for (int step = 0; step < 14; ++step) {
        const double lift = away + height / 2 + step * (height / 2);
        for (const double side : {0.0, 0.5, -0.5}) wishes.push_back(centred(x + side * (width + away), y - lift));
        if (step == 0)
            for (const double side : {1.0, -1.0}) wishes.push_back(centred(x + side * (width / 2 + away), y));
        for (const double side : {0.0, 0.5, -0.5}) wishes.push_back(centred(x + side * (width + away), y + lift));
    }
    const auto found = std::find_if(wishes.begin(), wishes.end(), is_free);
    return found == wishes.end() ? wishes.front() : *found;
}

} // namespace

std::string marks(const Frame& frame)
{
    const Rectangle& box = frame.box;
    std::vector<Rectangle> taken;
    struct Place
    {
        double x, y;
    };
    std::vector<Place> places;
    for (const PlotMark& mark : frame.panel.marks) {
        // A mark below or above the panel sits on its edge.
        const double y = std::clamp(frame.y(mark.y), box.top + 8, box.bottom - 8);
        places.push_back({frame.x(mark.x), y});
        if (mark.symbol != PlotMark::Symbol::Circle)
            taken.push_back({places.back().x - 8, y - 9, places.back().x + 8, y + 9});
    }
    std::string lines, symbols, labels;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const PlotMark& mark = frame.panel.marks[i];
        const auto [x, y] = places[i];
        symbols = symbol_at(x, y, mark.symbol) + symbols; // the first, most weighty, on top
        if (mark.label.empty()) continue;
        const Rectangle r = label_place(x, y, width_of(mark.label) + 6, box, taken);
        taken.push_back(r);
        // A line to the nearest point of a label that is not right beside its mark.
        const double near_x = std::clamp(x, r.left, r.right), near_y = std::clamp(y, r.top, r.bottom);
        if (std::hypot(near_x - x, near_y - y) > 14 || near_x != x)
            lines += line_from(x, y, near_x, near_y, "stroke=\"#333\" stroke-width=\"1\"");
        labels += text_at((r.left + r.right) / 2, r.bottom - 4.5, mark.label, "text-anchor=\"middle\" class=\"halo\"");
    }
    return lines + symbols + labels;
}

} // namespace stillwall::app::svg
