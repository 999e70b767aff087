#include "app/verbs/workshop/part_geometry.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

/// One group: a code and its value, a line each.
std::string group(int code, const std::string& value)
{
    return fmt::format("{:3}\n{}\n", code, value);
}

std::string number(int code, double value)
{
    return group(code, fmt::format("{:.6f}", value == 0 ? 0.0 : value));
}

std::string point(const Vector2d& p)
{
    return number(10, p.x()) + number(20, p.y()) + number(30, 0);
}

std::string polyline(const Contour& contour, const std::string& layer)
{
    std::string dxf = group(0, "POLYLINE") + group(8, layer) + group(66, "1") + point({0, 0}) + group(70, "1");
    for (std::size_t i = 0; i < contour.corners.size(); ++i)
        dxf += group(0, "VERTEX") + group(8, layer) + point(contour.corners[i]) +
               (contour.bulges[i] != 0 ? number(42, contour.bulges[i]) : std::string());
    return dxf + group(0, "SEQEND") + group(8, layer);
}

std::string circle(const Vector2d& centre, double diameter, const std::string& layer)
{
    return group(0, "CIRCLE") + group(8, layer) + point(centre) + number(40, diameter / 2);
}

std::string layer_entry(const std::string& name, int colour)
{
    return group(0, "LAYER") + group(2, name) + group(70, "0") + group(62, std::to_string(colour)) +
           group(6, "CONTINUOUS");
}

std::string head(const PartGeometry& part)
{
    std::string dxf = group(0, "SECTION") + group(2, "HEADER") + group(9, "$ACADVER") + group(1, "AC1009");
    dxf += group(9, "$EXTMIN") + point({0, 0}) + group(9, "$EXTMAX") + point(part.size) + group(0, "ENDSEC");
    dxf += group(0, "SECTION") + group(2, "TABLES");
    dxf += group(0, "TABLE") + group(2, "LTYPE") + group(70, "1") + group(0, "LTYPE") + group(2, "CONTINUOUS") +
           group(70, "0") + group(3, "Solid line") + group(72, "65") + group(73, "0") + number(40, 0) +
           group(0, "ENDTAB");
    dxf += group(0, "TABLE") + group(2, "LAYER") + group(70, "7") + layer_entry("0", 7) + layer_entry("OUTLINE", 7) +
           layer_entry("CUTOUT", 1) + layer_entry("SLOT", 1) + layer_entry("MARK", 5) + layer_entry("REBATE", 3) +
           layer_entry("DRILL", 4) + group(0, "ENDTAB");
    return dxf + group(0, "ENDSEC");
}

} // namespace

std::string part_dxf(const WorkshopReport& report, std::size_t index)
{
    const PartGeometry part = geometry_of(report, index);
    std::string dxf = group(999, "unit: millimetre") + head(part) + group(0, "SECTION") + group(2, "ENTITIES");
    dxf += polyline(part.outline, "OUTLINE");
    for (const CutOut& cut : part.cut_outs) {
        if (cut.diameter > 0)
            dxf += circle(cut.centre, cut.diameter, "CUTOUT");
        else
            dxf += polyline(cut.contour, "CUTOUT");
    }
    for (const Contour& slot : part.slots) dxf += polyline(slot, "SLOT");
    for (const PartGeometry::Round& rebate : part.rebates) dxf += circle(rebate.centre, rebate.diameter, "REBATE");
    for (const PartGeometry::Round& drill : part.drills) dxf += circle(drill.centre, drill.diameter, "DRILL");
    for (const PartGeometry::Mark& mark : part.marks)
        dxf += group(0, "LINE") + group(8, "MARK") + point(mark.line[0]) + number(11, mark.line[1].x()) +
               number(21, mark.line[1].y()) + number(31, 0);
    return dxf + group(0, "ENDSEC") + group(0, "EOF");
}

} // namespace stillwall::app
