#include "app/input/internal/place.h"

#include "app/input/internal/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stillwall::app {
namespace {

bool is_name_character(char c)
{
    const bool is_word = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    return is_word || c == ' ' || c == '-' || c == '_' || c == '.' || static_cast<unsigned char>(c) >= 0x80;
}

using CoordinateKeys = std::array<std::string_view, 2>;

bool is_box_like(const CabinetPlan& plan)
{
    return plan.walls.size() == 4 && plan.walls[0].name == "front";
}

CoordinateKeys brace_keys(const BracePlan& brace)
{
    switch (brace.plane) {
    case BracePlan::Plane::Horizontal:
        return {"x", "y"};
    case BracePlan::Plane::FrontToBack:
        return {"y", "z"};
    case BracePlan::Plane::SideToSide:
        return {"x", "z"};
    case BracePlan::Plane::Slanted:
        return {"x", "y"};
    }
    return {"x", "y"};
}

CoordinateKeys keys_on(const CabinetPlan& plan, const std::string& board)
{
    if (board == plan.top.name || board == plan.bottom.name) return {"x", "y"};
    for (const BracePlan& brace : plan.braces)
        if (brace.name == board) return brace_keys(brace);
    if (!is_box_like(plan)) return {"along", "z"};
    return board == "front" || board == "back" ? CoordinateKeys{"x", "z"} : CoordinateKeys{"y", "z"};
}

} // namespace

std::vector<YamlNode> read_parts(const YamlNode& list)
{
    std::vector<YamlNode> parts = list.items();
    if (parts.size() > max_parts)
        list.fail(fmt::format("holds {} entries, at most {} are read", parts.size(), max_parts));
    return parts;
}

void check_name(const YamlNode& node, std::string_view name)
{
    constexpr std::size_t longest = 60;
    if (name.empty() || name.size() > longest) node.fail(fmt::format("a name has 1 to {} bytes", longest));
    const auto odd = std::find_if_not(name.begin(), name.end(), is_name_character);
    if (odd != name.end())
        node.fail(
            fmt::format("character '{}' in a name; letters, digits, spaces, '-', '_' and '.' are possible", *odd));
    if (name.front() == ' ' || name.back() == ' ' || name.front() == '.')
        node.fail("a name must not begin or end with a space, nor begin with '.'");
    if (name.find(" over ") != std::string_view::npos)
        node.fail("a name must not contain ' over ', it is used in laps");
}

std::string read_name(const YamlNode& part, std::set<std::string>& taken)
{
    const YamlNode node = part.at("name");
    std::string name = node.text();
    check_name(node, name);
    if (!taken.insert(name).second) node.fail(fmt::format("name '{}' is taken, names must differ", name));
    return name;
}

std::vector<std::string> wall_names(const CabinetPlan& plan)
{
    std::vector<std::string> names;
    for (const WallPlan& wall : plan.walls) names.push_back(wall.name);
    names.push_back(plan.top.name);
    names.push_back(plan.bottom.name);
    return names;
}

std::vector<std::string> board_names(const CabinetPlan& plan)
{
    std::vector<std::string> names = wall_names(plan);
    for (const BracePlan& brace : plan.braces) names.push_back(brace.name);
    return names;
}

std::string read_reference(const YamlNode& node, const std::vector<std::string>& known, std::string_view what)
{
    std::string name = node.text();
    if (std::find(known.begin(), known.end(), name) == known.end())
        node.fail(fmt::format("no {} is called '{}'{}", what, name, hint_from(name, known)));
    return name;
}

std::vector<std::string> read_board_list(const YamlNode& node, const std::vector<std::string>& known)
{
    if (!node.is_sequence()) return {read_reference(node, known, "board")};
    std::vector<std::string> names;
    std::set<std::string> taken;
    for (const YamlNode& item : node.items()) {
        names.push_back(read_reference(item, known, "board"));
        if (!taken.insert(names.back()).second) item.fail(fmt::format("board '{}' is listed twice", names.back()));
    }
    return names;
}

std::vector<std::string> driver_names(const CabinetPlan& plan)
{
    std::vector<std::string> names;
    for (const OpeningPlan& opening : plan.openings)
        if (opening.insert.kind == InsertPlan::Kind::Driver) names.push_back(opening.name);
    return names;
}

BoardPlace read_place(const YamlNode& at, const CabinetPlan& plan, const std::string& board)
{
    const CoordinateKeys keys = keys_on(plan, board);
    if (!at.is_map())
        at.fail(fmt::format("places on '{0}' are given by {1} and {2}, write {{{1}: 100, {2}: 120}} with your figures",
                            board, keys[0], keys[1]));
    at.only_keys({"x", "y", "z", "along"});
    for (const YamlNode::Entry& entry : at.entries())
        if (entry.key != keys[0] && entry.key != keys[1])
            entry.value.fail(fmt::format("places on '{}' are given by {} and {}", board, keys[0], keys[1]));
    BoardPlace place;
    for (std::string_view key : keys) {
        const double value = at.at(key).length(coordinate_limits);
        if (key == "x") place.x = value;
        if (key == "y") place.y = value;
        if (key == "z") place.z = value;
        if (key == "along") place.along = value;
    }
    return place;
}

Vector2d read_point2(const YamlNode& point)
{
    const std::vector<YamlNode> items = point.items(2);
    return {items[0].length(coordinate_limits), items[1].length(coordinate_limits)};
}

Vector3d read_point3(const YamlNode& point)
{
    const std::vector<YamlNode> items = point.items(3);
    return {items[0].length(coordinate_limits), items[1].length(coordinate_limits), items[2].length(coordinate_limits)};
}

} // namespace stillwall::app
