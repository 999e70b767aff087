#pragma once
// The parts of a cabinet file, section by section. Each function reads one section's node into the plan;
// the order of the calls in parse_cabinet() matters: names must exist before others refer to them.

#include "app/input/internal/stock_reader.h"
#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/plan.h"

namespace stillwall::app {

/// `cabinet`: outline, height, wall names, slope.
void read_shape(const YamlNode& cabinet, CabinetPlan& plan);

/// `boards`: lay-ups and grain of walls, top and bottom; returns what `all` says, the default of braces.
[[nodiscard]] StockChoice read_boards(const YamlNode& boards, StockReader& stock, CabinetPlan& plan);

/// `laps`.
void read_laps(const YamlNode& laps, CabinetPlan& plan);

/// `braces`, with their windows (which become openings).
void read_braces(const YamlNode& braces, const StockChoice& all, StockReader& stock, CabinetPlan& plan);

/// `openings`; words of mounts are looked up in the library's fixings.
void read_openings(const YamlNode& openings, const MaterialLibrary& library, CabinetPlan& plan);

/// `rods`, `ribs`.
void read_rods(const YamlNode& rods, StockReader& stock, CabinetPlan& plan);
void read_ribs(const YamlNode& ribs, StockReader& stock, CabinetPlan& plan);

/// `masses`.
void read_masses(const YamlNode& masses, CabinetPlan& plan);

/// `damping`: layers bonded to faces, one for each board listed.
void read_damping(const YamlNode& damping, StockReader& stock, CabinetPlan& plan);

/// `joints` that are not glued.
void read_joints(const YamlNode& joints, const MaterialLibrary& library, CabinetPlan& plan);

/// `supports`.
void read_supports(const YamlNode& supports, const MaterialLibrary& library, CabinetPlan& plan);

/// `air`: leakage, bare faces, fillings; names of porous stuff are looked up in the library's fillings.
void read_air(const YamlNode& air, const MaterialLibrary& library, CabinetPlan& plan);

/// `sound`: drive, frequencies, listeners, ways, surroundings. Openings must be known.
void read_sound(const YamlNode& sound, CabinetPlan& plan);
/// `sound.ways`.
void read_ways(const YamlNode& ways, CabinetPlan& plan);

} // namespace stillwall::app
