#pragma once
// What boards shut off inside, and what it is tuned to.

#include "app/write/cabinet_report.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

/// A table of the chambers where there are several, and a line for what ports and passive radiators tune; empty for a
/// closed box of one chamber.
[[nodiscard]] std::string chambers_text(const CabinetReport& report);

/// The array "chambers".
[[nodiscard]] nlohmann::ordered_json chambers_json(const CabinetReport& report);

} // namespace stillwall::app
