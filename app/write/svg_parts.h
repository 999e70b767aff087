#pragma once
// What the drawing of axes, curves and marks has in common.

#include "app/write/svg_plot.h"

namespace stillwall::app::svg {

inline constexpr double font = 14, letter = 0.56 * font; ///< [px]; mean width of a letter of common sans-serif faces

/// Rough width of a text [px].
[[nodiscard]] double width_of(const std::string& text);

[[nodiscard]] std::string text_at(double x, double y, const std::string& text, const std::string& extra = "");
[[nodiscard]] std::string line_from(double x1, double y1, double x2, double y2, const std::string& style);

/// Share of the way along an axis, 0 at its low end.
[[nodiscard]] double share_of(const PlotAxis& axis, double value);

struct Rectangle
{
    double left = 0, top = 0, right = 0, bottom = 0;
    [[nodiscard]] bool meets(const Rectangle& other) const
    {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
    [[nodiscard]] bool holds(const Rectangle& other) const
    {
        return left <= other.left && other.right <= right && top <= other.top && other.bottom <= bottom;
    }
};

/// A panel on the page.
struct Frame
{
    const PlotAxis& x_axis;
    const PlotPanel& panel;
    Rectangle box;
    int number = 0;
    [[nodiscard]] double x(double value) const { return box.left + share_of(x_axis, value) * (box.right - box.left); }
    [[nodiscard]] double y(double value) const
    {
        return box.bottom - share_of(panel.y, value) * (box.bottom - box.top);
    }
};

/// A symbol with its middle at a point of the page.
[[nodiscard]] std::string symbol_at(double x, double y, PlotMark::Symbol symbol);
[[nodiscard]] std::string bar_at(const Rectangle& r, bool has_edges, bool is_strong);

/// The bars and the marks of a panel, the latter with their labels.
[[nodiscard]] std::string bars(const Frame& frame);
[[nodiscard]] std::string marks(const Frame& frame);

} // namespace stillwall::app::svg
