#pragma once
// A cabinet file with what a measurement has taught.

#include "mesh/cabinet/learned.h"

#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

/// The text as it is, with its `learned` block replaced or one appended. Factors multiply those already there, since
/// they are relative to the cabinet as read; errors replace them.
/// @param remarks  lines that go above the list as comments
/// @throws InputError  the file is one map in braces, which cannot be added to line by line
[[nodiscard]] std::string with_learned(std::string_view text, const std::string& file, const Learned& learned,
                                       const std::vector<std::string>& remarks);

} // namespace stillwall::app
