#pragma once
// The changes worth most, as printed after `modes` and `sound`.

#include "solver/choose/advice.h"

#include <string>

namespace stillwall::app {

/// Empty when there is nothing to change.
[[nodiscard]] std::string advice_text(const solver::Advice& advice);

/// A value for the key `advice`, as JSON text.
[[nodiscard]] std::string advice_json(const solver::Advice& advice);

/// The text of a JSON object with one key more at its end.
[[nodiscard]] std::string with_key(const std::string& object, const std::string& key, const std::string& value);

} // namespace stillwall::app
