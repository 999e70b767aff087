#pragma once
// Measured figures: "18 ± 0.05 mm", "247 g ± 0.5 %", and units that only measurements have (time, force, dB).

#include "app/input/internal/yaml_node.h"
#include "solver/measured/strip.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// Error of a figure that is written without ±.
struct UsualError
{
    double absolute = 0; ///< [SI]
    double relative = 0; ///< [-], used when absolute is 0
};

/// A number with its unit and, if wanted, its error after ± (also written +-), in the same unit or in %. A unit on one
/// side serves both.
/// @param assumed  gets "key ±0.05 mm" when the error is the usual one
[[nodiscard]] solver::Known read_known(const YamlNode& node, Dimension dimension, Limits limits, UsualError usual,
                                       std::vector<std::string>& assumed);

/// Seconds, from "45 ms" or "0.3 s".
[[nodiscard]] double read_time(const YamlNode& node, Limits limits);
/// Decibels, from "20 dB".
[[nodiscard]] double read_decibels(const YamlNode& node, Limits limits);
/// Newtons with error, from "100 N", "100 ± 1 N".
[[nodiscard]] solver::Known read_force(const YamlNode& node, Limits limits, UsualError usual,
                                       std::vector<std::string>& assumed);

/// One figure or [low, typical, high].
[[nodiscard]] solver::Assumed read_assumed(const YamlNode& node, Dimension dimension, Limits limits);

} // namespace stillwall::app
