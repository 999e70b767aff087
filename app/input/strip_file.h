#pragma once
// A test strip's file: what was measured on one or two strips sawn from a board, and how they were held.

#include "mesh/cabinet/material.h"
#include "solver/measured/strip.h"

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

enum class BoardKind
{
    Mdf,
    Particleboard,
    Plywood,
    SolidWood,
    Other ///< metal, plastic, stone, anything without a usual figure
};

enum class StripDirection
{
    Any, ///< a board alike in every direction of its plane
    Along,
    Across
};

/// A key of the file, for complaints about its value.
struct KeyPlace
{
    SourcePos where;
    std::string path;
};

struct PlacedStrip
{
    std::string name;
    StripDirection direction = StripDirection::Any;
    solver::StripData data;
    /// Errors counted in because the file gives none, e.g. "thickness ±0.05 mm".
    std::vector<std::string> assumed_errors;
    KeyPlace whole, length, width, thickness, mass, bending_test;
    std::vector<KeyPlace> modes; ///< as data.modes
};

/// The file as read: sound in itself, nothing computed.
struct StripPlan
{
    std::string file, name;
    std::string material; ///< key of the material entry to be written
    std::string like;     ///< stock that the entry takes the rest from; empty: the nearest of this kind of board
    KeyPlace like_place;
    BoardKind board = BoardKind::Other;
    std::vector<PlacedStrip> strips;           ///< one, or two: along and across
    std::map<std::string, Quantity> constants; ///< elastic constants known from elsewhere, by key (nu12, E3 …)
    KeyPlace constants_place;
};

/// E/G through the thickness that is usual for a kind of board: from memory. Nothing for Other.
[[nodiscard]] std::optional<solver::Assumed> usual_shear_ratio(BoardKind board, StripDirection direction);

/// Modulus by vibration over modulus by slow bending. Nothing for Other.
[[nodiscard]] std::optional<solver::Assumed> usual_dynamic_ratio(BoardKind board);

/// Reads the format told in examples/strip-01-mdf/README.md.
/// @throws InputError
[[nodiscard]] StripPlan read_strips(const std::filesystem::path& file);
/// The same from text; `file` appears in messages.
[[nodiscard]] StripPlan parse_strips(std::string_view text, const std::string& file);

/// evaluate_strip() with complaints that name the place in the file.
/// @throws InputError
[[nodiscard]] solver::StripResult evaluate(const PlacedStrip& strip);

} // namespace stillwall::app
