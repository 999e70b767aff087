#pragma once
// Columns of text for a terminal.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

inline constexpr int page_width = 120; ///< cells of the widest line printed

/// Number of character cells a UTF-8 text takes; one per code point (no wide or combining characters here).
[[nodiscard]] int display_width(const std::string& text);

/// Breaks a text at spaces into lines of at most `width` cells; a longer word stays whole.
[[nodiscard]] std::vector<std::string> wrap_text(const std::string& text, int width);

/// A text in lines of the page, each after `indent`, the first after `lead` where one is given (as wide as the indent).
[[nodiscard]] std::string wrapped(const std::string& text, const std::string& indent = "  ",
                                  const std::string& lead = "");

enum class Align
{
    Left,
    Right
};

struct Column
{
    std::string title;
    Align align = Align::Left;
    std::optional<int> max_width{}; ///< cells; longer texts are wrapped onto further lines. Nothing: as wide as needed
};

struct TextTable
{
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows; ///< each as long as columns

    /// The table with its titles, every line ended by a newline, no trailing spaces.
    [[nodiscard]] std::string text(const std::string& indent = "  ") const;

    /// Cells taken by the indent, all columns but the last and the gaps between them.
    [[nodiscard]] int width_without_last(const std::string& indent = "  ") const;

    /// Cells of a column in which nothing is wrapped.
    [[nodiscard]] int natural_width(std::size_t column) const;

    /// Cells of the page that the other columns leave to these; an indent of two cells is taken off.
    [[nodiscard]] int width_left_for(const std::vector<std::size_t>& wanted) const;
};

} // namespace stillwall::app
