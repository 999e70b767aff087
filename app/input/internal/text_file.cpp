#include "app/input/internal/text_file.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <fstream>
#include <system_error>

namespace stillwall::app {
namespace {

unsigned byte_at(std::string_view text, std::size_t i)
{
    return static_cast<unsigned char>(text[i]);
}

unsigned code_point(std::string_view text, std::size_t length)
{
    if (length == 1) return byte_at(text, 0);
    unsigned code = byte_at(text, 0) & (0xFFu >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) code = code << 6 | (byte_at(text, i) & 0x3Fu);
    return code;
}

std::string control_problem(std::string_view text)
{
    if (text[0] == '\0') return "NUL byte, this does not look like a text file; save it as UTF-8";
    if (text[0] == '\r') return "line end of an old kind (CR alone), save the file with LF or CRLF line ends";
    const std::size_t length = utf8_length(text);
    return fmt::format("control character U+{:04X}, remove it", code_point(text, length));
}

} // namespace

std::size_t utf8_length(std::string_view text)
{
    if (text.empty()) return 0;
    const unsigned first = byte_at(text, 0);
    if (first < 0x80) return 1;
    const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
    if (first < 0xC2 || first > 0xF4 || text.size() < length) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((byte_at(text, i) & 0xC0u) != 0x80) return 0;
    const unsigned code = code_point(text, length);
    const unsigned smallest = length == 2 ? 0x80 : length == 3 ? 0x800 : 0x10000;
    const bool is_surrogate = code >= 0xD800 && code <= 0xDFFF;
    return code < smallest || code > 0x10FFFF || is_surrogate ? 0 : length;
}

bool is_control(std::string_view text, std::size_t length)
{
    const unsigned code = code_point(text, length);
    const bool is_direction = (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
    const bool is_line_end = code == 0x2028 || code == 0x2029;
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || is_direction || is_line_end || code == 0xFEFF;
}

std::string load_text(const std::filesystem::path& file, std::size_t most_bytes)
{
    const SourcePos where{file.string()};
    std::error_code error;
    const auto status = std::filesystem::status(file, error);
    if (status.type() == std::filesystem::file_type::not_found) throw InputError(where, "", "no such file");
    if (status.type() == std::filesystem::file_type::none)
        throw InputError(where, "", "cannot be reached: " + error.message());
    if (std::filesystem::is_directory(status)) throw InputError(where, "", "is a directory, name the file inside it");
    // A pipe or a device could keep the program waiting for ever.
    if (!std::filesystem::is_regular_file(status)) throw InputError(where, "", "is not a regular file");

    std::ifstream stream(file, std::ios::binary);
    if (!stream) throw InputError(where, "", "cannot be opened, check its permissions");
    std::string text(most_bytes + 1, '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (stream.bad()) throw InputError(where, "", "cannot be read");
    text.resize(static_cast<std::size_t>(stream.gcount()));
    if (text.size() > most_bytes)
        throw InputError(
            where, "",
            fmt::format("larger than {} MB, is it really a text file for this program?", most_bytes / 1'000'000));
    return text;
}

void check_text(std::string_view text, const std::string& file)
{
    int line = 1, column = 1;
    bool is_indent = true;
    for (std::size_t i = 0; i < text.size();) {
        const std::string_view rest = text.substr(i);
        const std::size_t length = utf8_length(rest);
        if (length == 0)
            throw InputError({file, line, column}, "",
                             fmt::format("byte 0x{:02X} is not UTF-8, save the file as UTF-8", byte_at(rest, 0)));
        const bool is_crlf = rest.substr(0, 2) == "\r\n";
        if (rest[0] == '\t' && is_indent)
            throw InputError({file, line, column}, "", "tab in the indentation, use spaces");
        if (rest[0] != '\t' && rest[0] != '\n' && !is_crlf && is_control(rest, length))
            throw InputError({file, line, column}, "", control_problem(rest));
        if (rest[0] != ' ') is_indent = false;
        ++column;
        if (rest[0] == '\n') {
            ++line;
            column = 1;
            is_indent = true;
        }
        i += length;
    }
}

} // namespace stillwall::app
