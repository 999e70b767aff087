#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"

#include <algorithm>

namespace stillwall::app {
namespace {

constexpr Limits section_limits{1e-3, 0.5};

} // namespace

void read_rods(const YamlNode& rods, StockReader& stock, CabinetPlan& plan)
{
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(rods)) {
        part.only_keys({"name", "from", "to", "diameter", "width", "height", "material"});
        RodPlan rod;
        rod.where = part.where();
        rod.name = read_name(part, taken);
        rod.from = read_point3(part.at("from"));
        rod.to = read_point3(part.at("to"));
        if (const auto diameter = part.find("diameter")) {
            for (std::string_view key : {"width", "height"})
                if (const auto side = part.find(key)) side->fail("give either a diameter or width and height");
            rod.diameter = diameter->length(section_limits);
        } else {
            if (!part.has("width") && !part.has("height")) part.fail("needs a diameter, or width and height");
            rod.width = part.at("width").length(section_limits);
            rod.height = part.at("height").length(section_limits);
        }
        const double thinner = rod.diameter.value_or(std::min(rod.width, rod.height));
        rod.material = stock.bar_material(part.at("material"), thinner);
        plan.rods.push_back(rod);
    }
}

void read_ribs(const YamlNode& ribs, StockReader& stock, CabinetPlan& plan)
{
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(ribs)) {
        part.only_keys({"name", "board", "from", "to", "width", "height", "face", "material"});
        RibPlan rib;
        rib.where = part.where();
        rib.name = read_name(part, taken);
        rib.board = read_reference(part.at("board"), boards, "board");
        const BoardPlace from = read_place(part.at("from"), plan, rib.board);
        const BoardPlace to = read_place(part.at("to"), plan, rib.board);
        rib.x1 = from.x, rib.y1 = from.y, rib.z1 = from.z, rib.along1 = from.along;
        rib.x2 = to.x, rib.y2 = to.y, rib.z2 = to.z, rib.along2 = to.along;
        rib.width = part.at("width").length(section_limits);
        rib.height = part.at("height").length(section_limits);
        if (const auto face = part.find("face")) rib.inside = face->choice({"inside", "outside"}) == 0;
        rib.material = stock.bar_material(part.at("material"), std::min(rib.width, rib.height));
        plan.ribs.push_back(rib);
    }
}

void read_masses(const YamlNode& masses, CabinetPlan& plan)
{
    constexpr Limits mass_limits{1e-3, 200}, size_limits{0, 2};
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(masses)) {
        part.only_keys({"name", "board", "at", "mass", "width", "height"});
        MassPlan mass;
        mass.where = part.where();
        mass.name = read_name(part, taken);
        mass.board = read_reference(part.at("board"), boards, "board");
        const BoardPlace at = read_place(part.at("at"), plan, mass.board);
        mass.x = at.x, mass.y = at.y, mass.z = at.z, mass.along = at.along;
        mass.mass = part.at("mass").measure(Dimension::Mass, mass_limits);
        if (part.has("width") != part.has("height")) part.fail("a size takes both width and height");
        if (part.has("width")) {
            mass.width = part.at("width").length(size_limits);
            mass.height = part.at("height").length(size_limits);
        }
        plan.masses.push_back(mass);
    }
}

} // namespace stillwall::app
