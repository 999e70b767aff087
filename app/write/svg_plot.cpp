#include "app/write/svg_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using svg::bar_at, svg::font, svg::Frame, svg::line_from, svg::Rectangle, svg::share_of, svg::symbol_at, svg::text_at,
    svg::width_of;

constexpr double page_width = 1200, top = 72, panel_gap = 26, right_edge = 14;
constexpr double sample = 30, leader = 16; ///< [px] line sample and way to it in the right margin
constexpr const char* ink = "#222222";

std::string stroke(const Pen& pen)
{
    return fmt::format("stroke=\"{}\" stroke-width=\"{}\"{}", pen.colour, pen.width,
                       pen.dash.empty() ? "" : " stroke-dasharray=\"" + pen.dash + "\"");
}

std::string grid(const Frame& frame)
{
    const Rectangle& box = frame.box;
    std::string svg;
    const std::string faint = "stroke=\"#e4e4e4\"", clear = "stroke=\"#c8c8c8\"";
    if (frame.x_axis.is_logarithmic)
        for (double decade = std::pow(10.0, std::floor(std::log10(frame.x_axis.low))); decade <= frame.x_axis.high;
             decade *= 10)
            for (int factor = 1; factor < 10; ++factor)
                if (const double value = factor * decade; value > frame.x_axis.low && value < frame.x_axis.high)
                    svg += line_from(frame.x(value), box.top, frame.x(value), box.bottom, faint);
    for (const auto& [value, text] : axis_ticks(frame.x_axis))
        svg += line_from(frame.x(value), box.top, frame.x(value), box.bottom, clear);
    const auto y_ticks = axis_ticks(frame.panel.y);
    const bool has_rows = !frame.panel.y.rows.empty();
    for (std::size_t i = 0; i < y_ticks.size(); ++i) {
        if (has_rows && i + 1 == y_ticks.size()) break;
        const double at = has_rows ? (y_ticks[i].first + y_ticks[i + 1].first) / 2 : y_ticks[i].first;
        svg += line_from(box.left, frame.y(at), box.right, frame.y(at), clear);
    }
    for (const auto& [value, text] : y_ticks)
        svg += text_at(box.left - 9, frame.y(value) + font * 0.36, text, "text-anchor=\"end\"");
    const double x = has_rows ? 20 : 22, middle = (box.top + box.bottom) / 2;
    if (!frame.panel.y.title.empty())
        svg += text_at(x, middle, frame.panel.y.title,
                       fmt::format("text-anchor=\"middle\" transform=\"rotate(-90 {:.1f} {:.1f})\"", x, middle));
    return svg;
}

std::string curve(const Frame& frame, const PlotLine& line)
{
    std::string path;
    bool is_down = false;
    for (std::size_t i = 0; i < line.x.size(); ++i) {
        const double x = frame.x(line.x[i]), y = frame.y(line.y[i]);
        if (std::isfinite(x) && std::isfinite(y)) {
            // Far outside the panel a clipped point need not be exact, and viewers dislike huge figures.
            path += fmt::format("{}{:.1f} {:.1f}", is_down ? "L" : "M", x, std::clamp(y, -5000.0, 10000.0));
            is_down = true;
        } else {
            is_down = false;
        }
    }
    return fmt::format("<path d=\"{}\" fill=\"none\" stroke-linejoin=\"round\" {}/>\n", path, stroke(line.pen));
}

/// Labels in the right margin, each beside the end of its line, with a sample of it.
std::string end_labels(const Frame& frame)
{
    std::vector<double> ends;
    std::vector<const PlotLine*> labelled;
    for (const PlotLine& line : frame.panel.lines) {
        if (line.label.empty()) continue;
        double end = frame.box.bottom;
        for (std::size_t i = 0; i < line.x.size(); ++i)
            if (const double y = frame.y(line.y[i]); std::isfinite(y)) end = y;
        labelled.push_back(&line);
        ends.push_back(std::clamp(end, frame.box.top + 6, frame.box.bottom - 6));
    }
    const std::vector<double> places = spread(ends, font + 5, frame.box.top + 6, frame.box.bottom - 6);
    std::string svg;
    const double from = frame.box.right;
    for (std::size_t i = 0; i < labelled.size(); ++i) {
        const Pen& pen = labelled[i]->pen;
        svg += line_from(from, ends[i], from + leader, places[i],
                         fmt::format("stroke=\"{}\" stroke-width=\"0.8\"", pen.colour));
        svg += line_from(from + leader, places[i], from + leader + sample, places[i], stroke(pen));
        svg += text_at(from + leader + sample + 6, places[i] + font * 0.36, labelled[i]->label);
    }
    return svg;
}

std::string panel_svg(const Frame& frame)
{
    const Rectangle& box = frame.box;
    const std::string clip = fmt::format("inside{}", frame.number);
    const std::string shape = fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"",
                                          box.left, box.top, box.right - box.left, box.bottom - box.top);
    std::string svg = fmt::format("<clipPath id=\"{}\">{}/></clipPath>\n", clip, shape);
    svg += shape + " fill=\"#ffffff\"/>\n" + grid(frame);
    svg += fmt::format("<g clip-path=\"url(#{})\">\n", clip) + app::svg::bars(frame);
    // The first line is the most weighty: drawn last.
    for (auto line = frame.panel.lines.rbegin(); line != frame.panel.lines.rend(); ++line) svg += curve(frame, *line);
    svg += "</g>\n" + shape + " fill=\"none\" stroke=\"#888888\"/>\n";
    return svg + app::svg::marks(frame) + end_labels(frame);
}

double left_margin(const Plot& plot)
{
    double widest = 0;
    for (const PlotPanel& panel : plot.panels)
        for (const auto& [value, text] : axis_ticks(panel.y)) widest = std::max(widest, width_of(text));
    return widest + 46;
}

double right_margin(const Plot& plot)
{
    double widest = -leader - sample - 6;
    for (const PlotPanel& panel : plot.panels)
        for (const PlotLine& line : panel.lines)
            if (!line.label.empty()) widest = std::max(widest, width_of(line.label));
    return std::max(widest + leader + sample + 6, 16.0) + right_edge;
}

std::string key_sign(const PlotKey& key, double x, double y)
{
    if (key.symbol) return symbol_at(x + 9, y, *key.symbol);
    const double half = key.has_edges ? 7 : 6; // [px] of its height
    return bar_at({x + 1, y - half, x + 17, y + half}, key.has_edges, true);
}

/// Signs with their meanings in rows. @return the rows and where they end
std::pair<std::string, double> keys_svg(const Plot& plot, double left, double y)
{
    std::string svg;
    double x = left;
    constexpr double gap = 28, row = font + 10;
    for (const PlotKey& key : plot.keys) {
        const double width = 24 + width_of(key.text);
        if (x > left && x + width > page_width - right_edge) {
            x = left;
            y += row;
        }
        svg += key_sign(key, x, y - font * 0.34) + text_at(x + 24, y, key.text);
        x += width + gap;
    }
    return {svg, plot.keys.empty() ? y - row : y};
}

} // namespace

std::string svg_plot(const Plot& plot)
{
    const double left = left_margin(plot), right = page_width - right_margin(plot);
    std::string body;
    double y = top;
    int number = 0;
    for (const PlotPanel& panel : plot.panels) {
        body += panel_svg({plot.x, panel, {left, y, right, y + panel.height}, number++});
        y += panel.height + panel_gap;
    }
    y += font * 1.3 - panel_gap;
    for (const auto& [value, text] : axis_ticks(plot.x))
        body += text_at(left + share_of(plot.x, value) * (right - left), y, text, "text-anchor=\"middle\"");
    y += font * 1.5;
    body += text_at((left + right) / 2, y, plot.x.title, "text-anchor=\"middle\"");
    const auto [keys, end] = keys_svg(plot, left, y + font * 2);

    std::string svg = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}\" height=\"{1:.0f}\" "
                                  "viewBox=\"0 0 {0:.0f} {1:.0f}\" role=\"img\">\n<title>{2}</title>\n",
                                  page_width, end + font * 1.2, xml_text(plot.title));
    svg += fmt::format("<style>text{{font:{}px \"DejaVu Sans\",Verdana,Arial,sans-serif;fill:{}}}"
                       ".title{{font-size:20px;font-weight:bold}}"
                       ".halo{{stroke:#ffffff;stroke-width:3.5px;paint-order:stroke;stroke-linejoin:round}}</style>\n"
                       "<rect width=\"100%\" height=\"100%\" fill=\"#fcfcfa\"/>\n",
                       font, ink);
    svg += text_at(left, 30, plot.title, "class=\"title\"") + text_at(left, 53, plot.subtitle);
    return svg + body + keys + "</svg>\n";
}

} // namespace stillwall::app
