#pragma once
// Random cabinets as files, for laws that hold for every cabinet the reader takes. A cabinet is drawn from a seed in
// whole half millimetres and written as YAML: as it is, as its mirror image, in other units, larger, or with a brace
// moved. Repeatable everywhere: only raw numbers of the generator are used.

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace random_cabinets {

using Point = std::array<double, 2>;

/// A length left to "every wall it meets" where nothing is said.
using Limit = std::optional<double>;

enum class Shape
{
    Circle,
    Rectangle,
    Rounded,
    Slot
};

struct Hole
{
    std::string name, board;
    Shape shape = Shape::Circle;
    double width = 0, height = 0, radius = 0; ///< [mm]
    double rotation = 0;                      ///< [deg]
    Point at{};                               ///< [mm] in the board's two coordinates
    enum class Holds
    {
        Nothing,
        Driver,
        Port,
        Plate
    } holds = Holds::Nothing;
    double mass = 0;   ///< [kg]
    double volume = 0; ///< [l]
    double length = 0; ///< [mm] of a port's tube
};

struct Plate
{
    std::string name;
    char normal = 'z';                       ///< axis square to it; 's': slanted
    double at = 0;                           ///< [mm] along that axis
    std::array<double, 3> through{}, lean{}; ///< slanted: point [mm], direction
    double thickness = 0;                    ///< [mm]
    std::array<Limit, 3> from{}, to{};       ///< [mm] x, y, z
    std::vector<Hole> windows{};             ///< `at` only where has_place
    bool has_place = false;
};

struct Bar
{
    std::string name;
    std::array<double, 3> from{}, to{}; ///< [mm] rods
    double diameter = 0;                ///< [mm]
};

struct Strip
{
    std::string name, board;
    Point from{}, to{};           ///< [mm]
    double width = 0, height = 0; ///< [mm]
};

struct Sheet
{
    std::string name, board;
    double thickness = 0;                    ///< [mm]
    std::optional<double> cover;             ///< [%]
    std::optional<std::array<Point, 2>> box; ///< [mm]
};

/// As drawn; lengths in mm.
struct Drawn
{
    std::vector<Point> outline; ///< anticlockwise; a box or taper has four corners
    std::vector<std::string> walls;
    bool is_prism = false;
    double height = 0, slope_deg = 0;
    std::vector<std::pair<std::string, double>> thickness; ///< board, mm; "all" first
    std::vector<Hole> holes;
    std::vector<Plate> braces;
    std::vector<Bar> rods;
    std::vector<Strip> ribs;
    std::vector<Sheet> layers;
    double upper_Hz = 0;
};

/// How a drawn cabinet is written.
struct Copy
{
    bool is_mirrored = false; ///< left for right
    std::string unit = "mm";  ///< or "cm"
    double scale = 1;         ///< of all lengths; masses and stiffnesses follow, so that frequencies fall by it
    double brace_shift = 0;   ///< [mm] of the first brace along its normal
};

/// @param seed  each gives another cabinet; some are refused by the reader or the builder, as people's are
[[nodiscard]] Drawn draw(unsigned seed);

[[nodiscard]] std::string as_yaml(const Drawn& drawn, const Copy& copy = {});

} // namespace random_cabinets
