#pragma once
// The start of every JSON file about a cabinet.

#include "app/write/cabinet_report.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// The program, its version, that of the format.
[[nodiscard]] nlohmann::ordered_json document_head();

/// The program, its version, that of the format, and the object "cabinet".
[[nodiscard]] nlohmann::ordered_json document_about(const CabinetReport& report);

} // namespace stillwall::app
