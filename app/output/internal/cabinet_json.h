#pragma once
// The object that tells about the cabinet in every JSON file.

#include "mesh/core/cabinet.h"

#include <nlohmann/json_fwd.hpp>

namespace stillwall::app {

[[nodiscard]] nlohmann::ordered_json cabinet_json(const Cabinet& cabinet, const Bookkeeping& books,
                                                  const Vector3d& outer_size);

} // namespace stillwall::app
