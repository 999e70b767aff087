#pragma once
// Tables of a soft layer's modulus and loss over temperature and frequency.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/material.h"

namespace stillwall::app {

/// Most rows of a table.
inline constexpr std::size_t max_table_rows = 200;

/// Checks that a new row comes after those before it: rows rise in temperature and, within one temperature, in
/// frequency.
/// @throws InputError at the row
void check_row_order(const YamlNode& row, const DampingPoint& point, const std::vector<DampingPoint>& before);

/// The row whose figures stand for the material where no temperature and frequency are known: nearest to 20 °C, then
/// nearest to 200 Hz on a logarithmic scale.
/// @param table  at least one row
[[nodiscard]] const DampingPoint& usual_point(const std::vector<DampingPoint>& table);

} // namespace stillwall::app
