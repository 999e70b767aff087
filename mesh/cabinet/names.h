#pragma once
// Help with misspelt names.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall {

/// Number of single-character edits (insert, delete, replace, swap of neighbours) between two words;
/// letters compare without case.
/// @source optimal string alignment distance: Damerau, Comm. ACM 7 (1964) 171
[[nodiscard]] int edit_distance(std::string_view a, std::string_view b);

/// The known name nearest to `wanted`, if it is near enough to be a slip of the pen: at most a third
/// of the letters, and never more than three, differ. Words below 3 or above 64 letters are near to none.
[[nodiscard]] std::optional<std::string> nearest_name(std::string_view wanted, const std::vector<std::string>& known);

/// A clause for an error message: "did you mean 'left'?", or the known names when none is near.
[[nodiscard]] std::string name_hint(std::string_view wanted, const std::vector<std::string>& known);

} // namespace stillwall
