#pragma once
// "Did you mean": the nearest known word to a misspelt one.

#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

/// A hint to put after "unknown …": ", did you mean 'thickness'?" when a word is near, else the known
/// words if they are few, else empty.
[[nodiscard]] std::string hint_from(std::string_view word, const std::vector<std::string>& known);

} // namespace stillwall::app
