#pragma once
// Columns of text for a terminal.

#include <string>
#include <vector>

namespace stillwall::app {

/// Number of character cells a UTF-8 text takes; one per code point (no wide or combining characters here).
[[nodiscard]] int display_width(const std::string& text);

/// Breaks a text at spaces into lines of at most `width` cells; a longer word stays whole.
[[nodiscard]] std::vector<std::string> wrap_text(const std::string& text, int width);

enum class Align
{
    Left,
    Right
};

struct Column
{
    std::string title;
    Align align = Align::Left;
    int max_width = 0; ///< cells; longer texts are wrapped onto further lines. 0: as wide as needed
};

struct TextTable
{
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows; ///< each as long as columns

    /// The table with its titles, every line ended by a newline, no trailing spaces.
    [[nodiscard]] std::string text(const std::string& indent = "  ") const;

    /// Cells taken by the indent, all columns but the last and the gaps between them.
    [[nodiscard]] int width_without_last(const std::string& indent = "  ") const;
};

} // namespace stillwall::app
