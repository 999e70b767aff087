#pragma once
// Columns of numbers in a text, whatever program wrote it.

#include "mesh/cabinet/error.h"

#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

struct NumberRow
{
    int line = 0;
    std::vector<double> values;
    std::vector<int> columns; ///< where each begins, counted from 1
};

struct NumberColumns
{
    std::string header;          ///< the last line of words before the numbers, without its comment sign; may be empty
    std::vector<NumberRow> rows; ///< all of one length
    char separator = ' ';        ///< tab, ';', ',' or blank
    bool has_decimal_comma = false;
    int n_comments = 0;
};

/// UTF-8 from UTF-8, UTF-16 with a byte-order mark, or else Latin-1.
[[nodiscard]] std::string as_utf8(std::string_view bytes);

/// Lines are ended by LF, CR LF or CR. Lines that start with # * % ! ; " or // are comments; others without a number in
/// front are headers, before the first row only.
/// @throws InputError
[[nodiscard]] NumberColumns parse_columns(std::string_view bytes, const std::string& file);

/// Words of a header, one a column: units in brackets stay with the word before them.
[[nodiscard]] std::vector<std::string> header_words(const std::string& header);

} // namespace stillwall::app
