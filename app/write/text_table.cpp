#include "app/write/text_table.h"

#include <algorithm>
#include <cassert>
#include <sstream>

namespace stillwall::app {
namespace {

const std::string column_gap = "  ";

using Cell = std::vector<std::string>; ///< the lines of one cell

Cell split_cell(const std::string& text, std::optional<int> max_width)
{
    return max_width ? wrap_text(text, *max_width) : Cell{text};
}

std::string padded(const std::string& text, int width, Align align)
{
    const std::string blanks(static_cast<std::size_t>(std::max(0, width - display_width(text))), ' ');
    return align == Align::Left ? text + blanks : blanks + text;
}

void append_row(std::string& text, const std::string& indent, const std::vector<Column>& columns,
                const std::vector<Cell>& cells, const std::vector<int>& widths)
{
    std::size_t n_lines = 1;
    for (const Cell& cell : cells) n_lines = std::max(n_lines, cell.size());
    for (std::size_t i = 0; i < n_lines; ++i) {
        std::string line = indent;
        for (std::size_t c = 0; c < columns.size(); ++c) {
            if (c > 0) line += column_gap;
            line += padded(i < cells[c].size() ? cells[c][i] : std::string(), widths[c], columns[c].align);
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + '\n';
    }
}

/// Titles first, then the rows, each cell broken into its lines.
std::vector<std::vector<Cell>> split_cells(const TextTable& table)
{
    std::vector<std::vector<Cell>> cells(1);
    for (const Column& column : table.columns) cells.front().push_back({column.title});
    for (const auto& row : table.rows) {
        assert(row.size() == table.columns.size());
        cells.emplace_back();
        for (std::size_t c = 0; c < row.size(); ++c)
            cells.back().push_back(split_cell(row[c], table.columns[c].max_width));
    }
    return cells;
}

std::vector<int> column_widths(const std::vector<std::vector<Cell>>& cells, std::size_t n_columns)
{
    std::vector<int> widths(n_columns, 0);
    for (const auto& row : cells)
        for (std::size_t c = 0; c < n_columns; ++c)
            for (const std::string& line : row[c]) widths[c] = std::max(widths[c], display_width(line));
    return widths;
}

} // namespace

int display_width(const std::string& text)
{
    // Continuation bytes of UTF-8 start with the bits 10.
    return static_cast<int>(std::count_if(text.begin(), text.end(),
                                          [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::vector<std::string> wrap_text(const std::string& text, int width)
{
    std::vector<std::string> lines(1);
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        std::string& line = lines.back();
        if (line.empty())
            line = word;
        else if (display_width(line) + 1 + display_width(word) <= width)
            line += ' ' + word;
        else
            lines.push_back(word);
    }
    return lines;
}

std::string wrapped(const std::string& text, const std::string& indent, const std::string& lead)
{
    std::string result;
    for (const std::string& line : wrap_text(text, page_width - display_width(indent)))
        result += (result.empty() && !lead.empty() ? lead : indent) + line + '\n';
    return result;
}

std::string TextTable::text(const std::string& indent) const
{
    const std::vector<std::vector<Cell>> cells = split_cells(*this);
    const std::vector<int> widths = column_widths(cells, columns.size());
    std::string result;
    for (const auto& row : cells) append_row(result, indent, columns, row, widths);
    return result;
}

int TextTable::width_without_last(const std::string& indent) const
{
    const std::vector<int> widths = column_widths(split_cells(*this), columns.size());
    int total = display_width(indent);
    for (std::size_t c = 0; c + 1 < widths.size(); ++c) total += widths[c] + display_width(column_gap);
    return total;
}

int TextTable::natural_width(std::size_t column) const
{
    int width = display_width(columns[column].title);
    for (const auto& row : rows) width = std::max(width, display_width(row[column]));
    return width;
}

int TextTable::width_left_for(const std::vector<std::size_t>& wanted) const
{
    int left = page_width;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        left -= display_width(column_gap); // before it, the first one's being the indent
        if (std::find(wanted.begin(), wanted.end(), c) != wanted.end()) continue;
        const int natural = natural_width(c);
        left -= std::min(columns[c].max_width.value_or(natural), natural);
    }
    return left;
}

} // namespace stillwall::app
