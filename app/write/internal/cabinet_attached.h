#pragma once
// What is bonded, screwed and set under a cabinet: layers, joints that are not glued, mounts of drivers, supports.

#include "app/write/cabinet_report.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// One table each, with a blank line before it; nothing for what the cabinet has not.
[[nodiscard]] std::string attached_tables(const CabinetReport& report);

/// Lines on what to mind when working the layers' materials; empty when there is nothing.
[[nodiscard]] std::string layer_cautions(const Cabinet& cabinet);

/// Adds the arrays "layers", "joints", "mounts" and "supports".
void add_attached(const CabinetReport& report, nlohmann::ordered_json& document);

} // namespace stillwall::app
