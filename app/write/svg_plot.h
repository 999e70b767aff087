#pragma once
// Plots as SVG: panels over one horizontal axis, lines labelled at their right ends, marks labelled without overlaps.

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stillwall::app {

/// How a line is drawn; all lengths in pixels.
struct Pen
{
    std::string colour = "#000000";
    std::string dash; ///< as stroke-dasharray; empty: solid
    double width = 2;
};

/// The i-th of eight pens that differ in colour and in dashes; beyond them they repeat.
/// @source colours: M. Okabe & K. Ito, Color Universal Design (2002, revised 2008), from memory; without the yellow,
/// which is lost on white
[[nodiscard]] Pen pen(std::size_t i);

/// One axis. Ticks at 1-2-5 steps, on a logarithmic axis at 1, 2, 5 of each decade (beyond three decades at 1 only).
struct PlotAxis
{
    std::string title;
    double low = 0, high = 1; ///< low < high; logarithmic: low > 0
    bool is_logarithmic = false;
    std::optional<double> step{}; ///< of the ticks of a linear axis; nothing: chosen
    /// Instead of numbers: (position, text). Grid lines then lie half-way between neighbours.
    std::vector<std::pair<double, std::string>> rows{};
};

/// A curve; values that are not finite leave a gap.
struct PlotLine
{
    std::string label; ///< empty: none
    std::vector<double> x, y;
    Pen pen;
};

/// A shaded rectangle in the axes' units.
struct PlotBar
{
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
    bool has_edges = false; ///< upper edge solid, lower edge dashed
    bool is_strong = true;
};

/// A symbol at a point.
struct PlotMark
{
    enum class Symbol
    {
        Triangle, ///< filled, vermilion
        Diamond,  ///< filled, blue
        Circle,   ///< small, hollow, grey
        Stroke    ///< upright, black
    };
    double x = 0, y = 0;
    Symbol symbol = Symbol::Circle;
    std::string label; ///< empty: none; placed near it where there is room, earlier marks first
};

struct PlotPanel
{
    PlotAxis y{};
    double height = 400; ///< [px]
    std::vector<PlotBar> bars{};
    std::vector<PlotLine> lines{};
    std::vector<PlotMark> marks{};
};

/// What a symbol or a bar means.
struct PlotKey
{
    std::optional<PlotMark::Symbol> symbol{}; ///< nothing: a bar
    bool has_edges = false;                   ///< of a bar
    std::string text;
};

struct Plot
{
    std::string title, subtitle;
    PlotAxis x;
    std::vector<PlotPanel> panels{}; ///< from top to bottom
    std::vector<PlotKey> keys{};     ///< under the axis
};

/// The whole file, 1200 pixels wide.
[[nodiscard]] std::string svg_plot(const Plot& plot);

/// Ticks of an axis within its limits, ascending: (value, text).
[[nodiscard]] std::vector<std::pair<double, std::string>> axis_ticks(const PlotAxis& axis);

/// Positions at least `gap` apart within [low, high], as near as may be to those wanted, in their order. More than fit
/// are squeezed evenly.
[[nodiscard]] std::vector<double> spread(const std::vector<double>& wanted, double gap, double low, double high);

/// Text with the marks of XML replaced and control characters left out.
[[nodiscard]] std::string xml_text(const std::string& text);

/// A plot as it is handed out.
struct PlotFile
{
    std::string name;  ///< "sound-walls.svg"
    std::string about; ///< what it shows, a few words
    std::string svg;
};

} // namespace stillwall::app
