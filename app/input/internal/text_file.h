#pragma once
// Text from disk that is safe to parse and to print.

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace stillwall::app {

inline constexpr std::size_t max_input_bytes = 1'000'000;

/// The whole file.
/// @throws InputError when it is missing, not a regular file, unreadable, empty or larger than allowed
[[nodiscard]] std::string load_text(const std::filesystem::path& file, std::size_t most_bytes = max_input_bytes);

/// Checks that the text is UTF-8 without control characters (tab and line ends excepted) and not
/// indented by tabs.
/// @throws InputError with line and column of the first offence; `file` appears in the message
void check_text(std::string_view text, const std::string& file);

/// Length in bytes of the UTF-8 character at the front, 0 when it is malformed: truncated, overlong,
/// a surrogate, or beyond U+10FFFF.
[[nodiscard]] std::size_t utf8_length(std::string_view text);

/// Whether the character at the front (of `length` bytes) is a control, direction-changing or
/// byte-order character, which could make a message look like something else on a terminal.
[[nodiscard]] bool is_control(std::string_view text, std::size_t length);

} // namespace stillwall::app
