#include "viz/internal/drawing.h"

namespace stillwall::viz {

int Drawing::add_point(const Eigen::Vector3d& at, const Rgb& colour)
{
    const int number = static_cast<int>(points.size() / 3);
    for (int c = 0; c < 3; ++c) points.push_back(static_cast<float>(at(c)));
    colours.insert(colours.end(), colour.begin(), colour.end());
    return number;
}

void Drawing::add_triangle(int a, int b, int c)
{
    triangles.push_back(a);
    triangles.push_back(b);
    triangles.push_back(c);
}

void Drawing::add_line(const Eigen::Vector3d& from, const Eigen::Vector3d& to, double width, const Rgb& colour)
{
    Eigen::Vector2d along = (to - from).head<2>();
    const double length = along.norm();
    if (length < 1e-6) return; // seen end on
    along *= width / 2 / length;
    // Ends are drawn out by a third of the width: the pieces of a bent line then leave no gaps.
    const Eigen::Vector3d across(-along.y(), along.x(), 0), beyond(along.x() * 2 / 3, along.y() * 2 / 3, 0);
    const int a = add_point(from - across - beyond, colour), b = add_point(to - across + beyond, colour);
    const int c = add_point(to + across + beyond, colour), d = add_point(from + across - beyond, colour);
    add_triangle(a, b, c);
    add_triangle(a, c, d);
}

void Drawing::add_rectangle(const Rectangle& area, double z, const Rgb& colour)
{
    const int a = add_point({area.left, area.bottom, z}, colour), b = add_point({area.right(), area.bottom, z}, colour);
    const int c = add_point({area.right(), area.top(), z}, colour), d = add_point({area.left, area.top(), z}, colour);
    add_triangle(a, b, c);
    add_triangle(a, c, d);
}

std::string fit_text(const std::string& text, const TextStyle& style, double width, const TextMeasure& measure)
{
    if (measure(text, style) <= width) return text;
    std::string head = text;
    while (!head.empty()) {
        // Take whole UTF-8 characters: continuation bytes look like 10xxxxxx.
        while (!head.empty() && (static_cast<unsigned char>(head.back()) & 0xC0U) == 0x80U) head.pop_back();
        if (!head.empty()) head.pop_back();
        while (!head.empty() && head.back() == ' ') head.pop_back();
        if (measure(head + "…", style) <= width) break;
    }
    return head + "…";
}

} // namespace stillwall::viz
