#pragma once
// The small-signal figures of a driver or passive radiator.

#include "app/input/internal/yaml_node.h"
#include "mesh/cabinet/small_signal.h"

#include <string_view>

namespace stillwall::app {

/// Whether any such figure is written.
[[nodiscard]] bool has_figures(const YamlNode& node);

/// Refuses them where they do not belong; `what` names the place ("a port").
void refuse_figures(const YamlNode& node, std::string_view what);

/// One consistent set from those written.
/// @throws InputError  out of range, too few, or contradicting each other
[[nodiscard]] SmallSignal read_figures(const YamlNode& node, bool has_motor);

} // namespace stillwall::app
