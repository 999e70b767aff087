#pragma once
// Names of parts and places on boards.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/plan.h"

#include <set>

namespace stillwall::app {

/// Most items a list of parts may hold; a cabinet has a few dozen, and every pair of holes is compared.
inline constexpr std::size_t max_parts = 200;
/// Limits of a coordinate [m].
inline constexpr Limits coordinate_limits{-5, 5};

/// The items of a list of parts, each a map.
[[nodiscard]] std::vector<YamlNode> read_parts(const YamlNode& list);

/// A part's `name`, new among `taken`, to which it is added.
[[nodiscard]] std::string read_name(const YamlNode& part, std::set<std::string>& taken);

/// Checks that a name is short, printable and cannot be mistaken for a path or for "a over b".
void check_name(const YamlNode& node, std::string_view name);

/// Walls in outline order, top, bottom.
[[nodiscard]] std::vector<std::string> wall_names(const CabinetPlan& plan);
/// Walls and braces read so far.
[[nodiscard]] std::vector<std::string> board_names(const CabinetPlan& plan);

/// A text that must be one of `known`; `what` names their kind in the message ("board").
[[nodiscard]] std::string read_reference(const YamlNode& node, const std::vector<std::string>& known,
                                         std::string_view what);

/// One name of a board, or a list of different ones.
[[nodiscard]] std::vector<std::string> read_board_list(const YamlNode& node, const std::vector<std::string>& known);

/// Names of the openings that hold a driver.
[[nodiscard]] std::vector<std::string> driver_names(const CabinetPlan& plan);

/// Two coordinates on a board.
struct BoardPlace
{
    std::optional<double> x, y, z, along;
};

/// Reads {x: …, z: …}: exactly the two coordinates in which places on this board are given.
[[nodiscard]] BoardPlace read_place(const YamlNode& at, const CabinetPlan& plan, const std::string& board);

/// A list of two or three lengths.
[[nodiscard]] Vector2d read_point2(const YamlNode& point);
[[nodiscard]] Vector3d read_point3(const YamlNode& point);

} // namespace stillwall::app
