#pragma once
// A part as it is drawn: outline, cut-outs and marks in mm from its lower left corner.

#include "app/verbs/workshop/workshop_report.h"

#include <array>

namespace stillwall::app {

/// A closed line of straight pieces and arcs.
struct Contour
{
    std::vector<Vector2d> corners;
    std::vector<double> bulges; ///< per corner: tan of a quarter of the arc's angle to the next one, 0: straight
};

struct CutOut
{
    std::string name, size; ///< as people say it
    Vector2d centre = Vector2d::Zero();
    double diameter = 0; ///< of a round one, else 0
    Contour contour;     ///< of the others
};

struct PartGeometry
{
    Vector2d size = Vector2d::Zero(); ///< [mm] of the rectangle around it
    Contour outline;
    std::vector<CutOut> cut_outs;
    std::vector<Contour> slots; ///< halving slots right through into a window; others are part of the outline
    struct Mark
    {
        std::string name;
        std::array<Vector2d, 2> line;
    };
    std::vector<Mark> marks; ///< both faces of each brace that stands on it; generators of a curved board
    struct Round
    {
        Vector2d centre = Vector2d::Zero();
        double diameter = 0;
    };
    std::vector<Round> rebates, drills; ///< of drivers' flanges, of their screws
};

[[nodiscard]] PartGeometry geometry_of(const WorkshopReport& report, std::size_t part);

} // namespace stillwall::app
