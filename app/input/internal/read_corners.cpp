#include "app/input/internal/read_corners.h"

#include "app/input/internal/place.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::app {
namespace {

constexpr Limits radius_limits{-100, 100};
constexpr Limits bulge_limits{-3, 3};
constexpr double flattest = 5e-4; ///< [m] a board with less is flat

WrittenCorner read_corner(const YamlNode& node)
{
    if (!node.is_map()) return {read_point2(node), 0, 0, node};
    node.only_keys({"at", "radius", "bulge"});
    WrittenCorner corner{read_point2(node.at("at")), 0, 0, node};
    const auto radius = node.find("radius"), bulge = node.find("bulge");
    if (radius && bulge) bulge->fail("give the radius or the bulge of the wall, not both");
    if (!radius && !bulge)
        node.fail("needs the radius or the bulge of the wall to the next corner; a flat wall's corner is [x, y]");
    if (radius) corner.radius = radius->length(radius_limits);
    if (bulge) corner.bulge = bulge->length(bulge_limits);
    if (radius && corner.radius == 0) radius->fail("must not be 0; a flat wall's corner is [x, y]");
    if (bulge && std::abs(corner.bulge) < flattest)
        bulge->fail("must be 0.5 mm or more, outwards or (negative) inwards; a flat wall's corner is [x, y]");
    return corner;
}

} // namespace

std::vector<WrittenCorner> read_corners(const YamlNode& outline, std::size_t most)
{
    const std::vector<YamlNode> items = outline.items();
    if (items.size() < 3 || items.size() > most)
        outline.fail(fmt::format("needs 3 to {} corners, got {}", most, items.size()));
    std::vector<WrittenCorner> corners;
    for (const YamlNode& item : items) corners.push_back(read_corner(item));
    return corners;
}

double bulge_of(const WrittenCorner& corner, const WrittenCorner& next)
{
    if (corner.radius == 0 && corner.bulge == 0) return 0;
    const double chord = (next.at - corner.at).norm(), half = chord / 2, in_mm = 1e3;
    if (corner.radius != 0) {
        const double radius = std::abs(corner.radius);
        if (radius < half * (1 - 1e-9))
            corner.node.at("radius").fail(fmt::format("does not reach the next corner {:.1f} mm away; at least {:.1f} "
                                                      "mm is needed, half of it",
                                                      in_mm * chord, in_mm * half));
        const double rise = radius - std::sqrt(std::max(0.0, radius * radius - half * half));
        if (rise < flattest)
            corner.node.at("radius").fail(fmt::format("bends the wall by {:.2f} mm only; write the corner as [x, y], "
                                                      "the wall is flat",
                                                      in_mm * rise));
        return std::copysign(rise, corner.radius);
    }
    if (std::abs(corner.bulge) > half * (1 + 1e-9))
        corner.node.at("bulge").fail(fmt::format("is more than half a circle over {:.1f} mm; at most {:.1f} mm, or put "
                                                 "another corner between",
                                                 in_mm * chord, in_mm * half));
    return corner.bulge;
}

} // namespace stillwall::app
