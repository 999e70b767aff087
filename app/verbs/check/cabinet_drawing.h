#pragma once
// A drawing of the cabinet in three views, to scale.

#include "app/write/cabinet_report.h"

#include <string>

namespace stillwall::app {

/// Front, right side and top as an SVG sheet, arranged in third-angle projection, with the overall sizes and the
/// openings named. Printed at its own size it has the scale written on it.
/// @source arrangement of views: ISO 5456-2; scales 1:1, 1:2, 1:5, 1:10 ...: ISO 5455 (both from memory)
[[nodiscard]] std::string cabinet_svg(const CabinetReport& report);

} // namespace stillwall::app
