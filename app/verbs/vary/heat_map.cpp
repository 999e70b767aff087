#include "app/verbs/vary/heat_map.h"

#include "app/write/numbers.h"
#include "app/write/svg_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::app {
namespace {

using svg::font, svg::text_at, svg::width_of;

constexpr double page = 1200, top = 84, bar_width = 18;

struct Colour
{
    double r, g, b;
};

/// From bad (dark) to good (light); lightness rises evenly, so it survives grey print and colour blindness.
/// @source five stops of a perceptually uniform map in the public domain (S. van der Walt & N. Smith, 2015), from
/// memory
Colour colour_of(double good)
{
    constexpr std::array<Colour, 5> stops{{{68, 1, 84}, {59, 82, 139}, {33, 145, 140}, {94, 201, 98}, {253, 231, 37}}};
    const double at = std::clamp(good, 0.0, 1.0) * (stops.size() - 1);
    const std::size_t i = std::min<std::size_t>(static_cast<std::size_t>(at), stops.size() - 2);
    const double t = at - static_cast<double>(i);
    const auto mix = [t](double a, double b) { return a + t * (b - a); };
    return {mix(stops[i].r, stops[i + 1].r), mix(stops[i].g, stops[i + 1].g), mix(stops[i].b, stops[i + 1].b)};
}

std::string hex(const Colour& c)
{
    return fmt::format("#{:02x}{:02x}{:02x}", static_cast<int>(std::lround(c.r)), static_cast<int>(std::lround(c.g)),
                       static_cast<int>(std::lround(c.b)));
}

struct Scale
{
    double low = 0, high = 1;
    bool high_is_good = false;
    [[nodiscard]] double good(double value) const
    {
        const double t = high > low ? (value - low) / (high - low) : 0.5;
        return high_is_good ? t : 1 - t;
    }
};

Scale scale_of(const HeatMap& map)
{
    Scale scale{1e300, -1e300, map.high_is_good};
    for (const auto& row : map.value)
        for (const double v : row)
            if (std::isfinite(v)) {
                scale.low = std::min(scale.low, v);
                scale.high = std::max(scale.high, v);
            }
    return scale;
}

std::string legend(const HeatMap& map, const Scale& scale, double x, double y, double height)
{
    std::string svg;
    constexpr int n = 24;
    for (int i = 0; i < n; ++i) {
        const double value = scale.low + (scale.high - scale.low) * (i + 0.5) / n;
        svg +=
            fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{}\" height=\"{:.2f}\" fill=\"{}\"/>\n", x,
                        y + height * (n - 1 - i) / n, bar_width, height / n + 0.5, hex(colour_of(scale.good(value))));
    }
    svg += text_at(x + bar_width + 6, y + font, with_minus(shortest(scale.high, 3)) + " " + map.unit);
    return svg + text_at(x + bar_width + 6, y + height, with_minus(shortest(scale.low, 3)) + " " + map.unit);
}

} // namespace

std::string svg_heat_map(const HeatMap& map)
{
    const Scale scale = scale_of(map);
    double left = 60;
    for (const std::string& label : map.y) left = std::max(left, width_of(label) + 50);
    const double right = 140, width = page - left - right;
    const double cell_w = width / static_cast<double>(map.x.size());
    const double cell_h = std::clamp(520 / static_cast<double>(map.y.size()), 22.0, 60.0);
    const double height = cell_h * static_cast<double>(map.y.size()), bottom = top + height;
    std::string svg = fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1:.0f}\" viewBox=\"0 0 {0} {1:.0f}\" "
        "font-family=\"sans-serif\" font-size=\"{2}\" fill=\"#222222\">\n<rect width=\"{0}\" height=\"{1:.0f}\" "
        "fill=\"#ffffff\"/>\n",
        page, bottom + 70, font);
    svg += text_at(left, 32, map.title, "font-size=\"20\" font-weight=\"bold\"") + text_at(left, 56, map.subtitle);
    double best = -1;
    std::string frame;
    for (std::size_t j = 0; j < map.y.size(); ++j) {
        const double y = bottom - cell_h * static_cast<double>(j + 1);
        svg += text_at(left - 8, y + cell_h / 2 + font * 0.36, map.y[j], "text-anchor=\"end\"");
        for (std::size_t i = 0; i < map.x.size(); ++i) {
            const double x = left + cell_w * static_cast<double>(i), value = map.value[j][i];
            const double good = scale.good(value);
            const bool is_there = std::isfinite(value);
            svg += fmt::format(
                "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"{}\" stroke=\"#ffffff\"/>\n",
                x, y, cell_w, cell_h, is_there ? hex(colour_of(good)) : "#f0f0f0");
            if (width_of(map.text[j][i]) < cell_w - 4)
                svg += text_at(
                    x + cell_w / 2, y + cell_h / 2 + font * 0.36, map.text[j][i],
                    fmt::format("text-anchor=\"middle\" fill=\"{}\"", is_there && good < 0.55 ? "#ffffff" : "#222222"));
            if (is_there && good > best) {
                best = good;
                frame = fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"none\" "
                                    "stroke=\"#D55E00\" stroke-width=\"3\"/>\n",
                                    x + 1.5, y + 1.5, cell_w - 3, cell_h - 3);
            }
        }
    }
    svg += frame;
    // Labels that would run into each other are left out evenly.
    double widest = 0;
    for (const std::string& label : map.x) widest = std::max(widest, width_of(label) + 10);
    const auto every = static_cast<std::size_t>(std::max(1.0, std::ceil(widest / cell_w)));
    for (std::size_t i = 0; i < map.x.size(); i += every)
        svg += text_at(left + cell_w * (static_cast<double>(i) + 0.5), bottom + 20, map.x[i], "text-anchor=\"middle\"");
    svg += text_at(left + width / 2, bottom + 46, map.x_title, "text-anchor=\"middle\"");
    svg += text_at(22, top + height / 2, map.y_title,
                   fmt::format("text-anchor=\"middle\" transform=\"rotate(-90 22 {:.1f})\"", top + height / 2));
    return svg + legend(map, scale, left + width + 16, top, height) + "</svg>\n";
}

} // namespace stillwall::app
