#pragma once
// A picture as a plain list of coloured triangles and texts, in pixels from the lower left corner; z
// grows towards the viewer. Everything a picture shows is laid out here, so that the graphics library
// only has to fill triangles and set type.

#include "viz/internal/colour_map.h"

#include <Eigen/Core>

#include <functional>
#include <string>
#include <vector>

namespace stillwall::viz {

struct TextStyle
{
    int size_px = 16;
    bool is_bold = false;
    Rgb colour = palette::ink;
    bool has_backing = false; ///< a light, half-transparent plate behind the text
};

struct Text
{
    enum class Align
    {
        Left,
        Centre,
        Right
    };
    std::string text;    ///< UTF-8, one line
    double x = 0, y = 0; ///< [px] of the anchor: left, middle or right, at half the height of the letters
    Align align = Align::Left;
    TextStyle style;
};

/// Width of a text [px].
using TextMeasure = std::function<double(const std::string& text, const TextStyle& style)>;

struct Rectangle
{
    double left = 0, bottom = 0, width = 0, height = 0; ///< [px]
    [[nodiscard]] double right() const { return left + width; }
    [[nodiscard]] double top() const { return bottom + height; }
    [[nodiscard]] double centre_x() const { return left + width / 2; }
    [[nodiscard]] double centre_y() const { return bottom + height / 2; }
};

struct Drawing
{
    std::vector<float> points;         ///< x, y, z of each point
    std::vector<std::uint8_t> colours; ///< r, g, b of each point
    std::vector<int> triangles;        ///< three point numbers each
    std::vector<Text> texts;

    int add_point(const Eigen::Vector3d& at, const Rgb& colour);
    void add_triangle(int a, int b, int c);
    /// A line of the given width [px] facing the viewer.
    void add_line(const Eigen::Vector3d& from, const Eigen::Vector3d& to, double width, const Rgb& colour);
    void add_rectangle(const Rectangle& area, double z, const Rgb& colour);
};

/// `text`, or its beginning with an ellipsis, so that it is not wider than `width` [px].
[[nodiscard]] std::string fit_text(const std::string& text, const TextStyle& style, double width,
                                   const TextMeasure& measure);

} // namespace stillwall::viz
