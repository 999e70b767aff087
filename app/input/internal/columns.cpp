#include "app/input/internal/columns.h"

#include "app/input/internal/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>

namespace stillwall::app {
namespace {

void append_utf8(std::string& text, char32_t c)
{
    if (c < 0x80) {
        text += static_cast<char>(c);
    } else if (c < 0x800) {
        text += static_cast<char>(0xC0 | (c >> 6));
        text += static_cast<char>(0x80 | (c & 0x3F));
    } else {
        text += static_cast<char>(0xE0 | (c >> 12));
        text += static_cast<char>(0x80 | ((c >> 6) & 0x3F));
        text += static_cast<char>(0x80 | (c & 0x3F));
    }
}

std::string from_utf16(std::string_view bytes, bool is_little)
{
    std::string text;
    for (std::size_t i = 2; i + 1 < bytes.size(); i += 2) {
        const auto a = static_cast<unsigned char>(bytes[i]), b = static_cast<unsigned char>(bytes[i + 1]);
        append_utf8(text, is_little ? static_cast<char32_t>(a | (b << 8)) : static_cast<char32_t>((a << 8) | b));
    }
    return text;
}

bool is_utf8(std::string_view text)
{
    while (!text.empty()) {
        const std::size_t length = utf8_length(text);
        if (length == 0) return false;
        text.remove_prefix(length);
    }
    return true;
}

struct Line
{
    int number = 0;
    std::string_view text;
};

std::vector<Line> lines_of(std::string_view text)
{
    std::vector<Line> lines;
    std::size_t at = 0;
    while (at <= text.size()) {
        const std::size_t end = std::min(text.find_first_of("\r\n", at), text.size());
        lines.push_back({static_cast<int>(lines.size()) + 1, text.substr(at, end - at)});
        at = end + (text.substr(end).starts_with("\r\n") ? 2 : 1);
    }
    return lines;
}

std::string_view trimmed(std::string_view text)
{
    const std::size_t from = text.find_first_not_of(" \t\v\f");
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(" \t\v\f") - from + 1);
}

bool is_comment(std::string_view trimmed_line)
{
    return std::string_view("#*%!;").find(trimmed_line.front()) != std::string_view::npos ||
           trimmed_line.starts_with("//") ||
           (trimmed_line.front() == '"' && trimmed_line.size() > 1 &&
            std::isdigit(static_cast<unsigned char>(trimmed_line[1])) == 0);
}

bool starts_with_number(std::string_view text)
{
    std::size_t i = 0;
    while (i < text.size() && (text[i] == '"' || text[i] == '+' || text[i] == '-' || text[i] == '.' || text[i] == ','))
        ++i;
    return i < text.size() && std::isdigit(static_cast<unsigned char>(text[i])) != 0;
}

/// How the fields of a row are set apart.
struct Layout
{
    char separator = ' ';
    bool has_decimal_comma = false;
};

Layout layout_of(std::string_view row)
{
    const auto has = [&](char c) { return row.find(c) != std::string_view::npos; };
    if (has('\t') || has(';')) return {has(';') ? ';' : '\t', has(',') && !has('.')};
    if (!has(',')) return {' ', false};
    // A comma between two digits while blanks part the fields is a decimal comma.
    bool is_tight = true;
    for (std::size_t i = 0; i < row.size(); ++i)
        if (row[i] == ',' && (i + 1 == row.size() || std::isdigit(static_cast<unsigned char>(row[i + 1])) == 0))
            is_tight = false;
    const bool has_blanks = trimmed(row).find(' ') != std::string_view::npos;
    return is_tight && has_blanks && !has('.') ? Layout{' ', true} : Layout{',', false};
}

struct Field
{
    std::string_view text;
    int column = 0;
};

std::vector<Field> fields_of(std::string_view row, const Layout& layout)
{
    std::vector<Field> fields;
    std::size_t at = 0;
    const std::string_view ends =
        layout.separator == ' ' ? std::string_view(" \t") : std::string_view(&layout.separator, 1);
    while (at <= row.size()) {
        const std::size_t end = std::min(row.find_first_of(ends, at), row.size());
        const std::string_view raw = row.substr(at, end - at), text = trimmed(raw);
        const bool is_gap = text.empty() && layout.separator == ' ';
        if (!is_gap) fields.push_back({text, static_cast<int>(at + (text.empty() ? 0 : text.data() - raw.data())) + 1});
        at = end + 1;
    }
    while (!fields.empty() && fields.back().text.empty()) fields.pop_back(); // a separator at the end
    return fields;
}

std::optional<double> number_of(std::string_view text, bool has_decimal_comma)
{
    if (text.size() > 1 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
    if (text.starts_with('+')) text.remove_prefix(1);
    std::string digits(text);
    if (has_decimal_comma) std::replace(digits.begin(), digits.end(), ',', '.');
    double value = 0;
    const auto [end, problem] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (problem != std::errc() || end != digits.data() + digits.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

NumberRow row_of(const Line& line, const Layout& layout, const std::string& file)
{
    NumberRow row{line.number, {}, {}};
    for (const Field& field : fields_of(line.text, layout)) {
        const SourcePos where{file, line.number, field.column};
        if (field.text.empty()) throw InputError(where, "", "a value is missing here");
        const std::optional<double> value = number_of(field.text, layout.has_decimal_comma);
        if (!value && field.text.find(',') != std::string_view::npos && field.text.find('.') != std::string_view::npos)
            throw InputError(
                where, "",
                fmt::format("'{}' has a comma and a point; write numbers without thousands separators", field.text));
        if (!value) throw InputError(where, "", fmt::format("'{}' is not a number", field.text.substr(0, 40)));
        row.values.push_back(*value);
        row.columns.push_back(field.column);
    }
    return row;
}

} // namespace

std::string as_utf8(std::string_view bytes)
{
    if (bytes.starts_with("\xFF\xFE")) return from_utf16(bytes, true);
    if (bytes.starts_with("\xFE\xFF")) return from_utf16(bytes, false);
    if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
    if (is_utf8(bytes)) return std::string(bytes);
    std::string text;
    for (const char c : bytes) append_utf8(text, static_cast<unsigned char>(c));
    return text;
}

NumberColumns parse_columns(std::string_view bytes, const std::string& file)
{
    const std::string text = as_utf8(bytes);
    NumberColumns columns;
    std::optional<Layout> layout;
    for (const Line& line : lines_of(text)) {
        if (const std::size_t nul = line.text.find('\0'); nul != std::string_view::npos)
            throw InputError({file, line.number, static_cast<int>(nul) + 1}, "", "this is not a text file");
        const std::string_view content = trimmed(line.text);
        if (content.empty()) continue;
        if (is_comment(content)) {
            ++columns.n_comments;
            if (columns.rows.empty()) columns.header = std::string(content.substr(1));
            continue;
        }
        if (!starts_with_number(content)) {
            if (!columns.rows.empty())
                throw InputError(
                    {file, line.number, 1}, "",
                    fmt::format("'{}' stands between the numbers; put a # before remarks", content.substr(0, 40)));
            ++columns.n_comments;
            columns.header = std::string(content);
            continue;
        }
        if (!layout) layout = layout_of(line.text);
        columns.rows.push_back(row_of(line, *layout, file));
        const std::size_t n = columns.rows.back().values.size(), wanted = columns.rows.front().values.size();
        if (n != wanted)
            throw InputError({file, line.number, 0}, "",
                             fmt::format("{} columns, but {} in line {}", n, wanted, columns.rows.front().line));
    }
    if (layout) {
        columns.separator = layout->separator;
        columns.has_decimal_comma = layout->has_decimal_comma;
    }
    return columns;
}

std::vector<std::string> header_words(const std::string& header)
{
    std::vector<std::string> words;
    const bool has_separator = header.find_first_of("\t;,") != std::string::npos;
    const std::string_view ends = has_separator ? "\t;," : " ";
    std::size_t at = 0;
    while (at <= header.size()) {
        const std::size_t end = std::min(header.find_first_of(ends, at), header.size());
        std::string word(trimmed(std::string_view(header).substr(at, end - at)));
        std::transform(word.begin(), word.end(), word.begin(),
                       [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        if (!word.empty()) {
            const bool is_unit = !has_separator && (word.front() == '(' || word.front() == '[') && !words.empty();
            if (is_unit)
                words.back() += word;
            else
                words.push_back(word);
        }
        at = end + 1;
    }
    return words;
}

} // namespace stillwall::app
