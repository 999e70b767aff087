#include "app/input/dataset58_file.h"

#include "app/input/internal/text_file.h"
#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

namespace stillwall::app {
namespace {

constexpr std::size_t most_bytes = 100'000'000;
constexpr int transfer_function = 4; ///< function type
constexpr long most_values = 2'000'000;

struct Lines
{
    std::vector<std::string_view> all;
    std::string file;

    Lines(std::string_view text, const std::string& name) : file(name)
    {
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t end = std::min(text.find('\n', at), text.size());
            std::string_view line = text.substr(at, end - at);
            if (line.ends_with('\r')) line.remove_suffix(1);
            all.push_back(line);
            at = end + 1;
        }
    }
    [[nodiscard]] std::string_view at(std::size_t i) const
    {
        if (i >= all.size())
            throw InputError({file, static_cast<int>(all.size()), 0}, "", "the file ends inside a dataset");
        return all[i];
    }
    [[noreturn]] void refuse(std::size_t i, const std::string& problem) const
    {
        throw InputError({file, static_cast<int>(i) + 1, 0}, "", problem);
    }
};

std::string_view trimmed(std::string_view text)
{
    const std::size_t from = text.find_first_not_of(" \t");
    return from == std::string_view::npos ? std::string_view()
                                          : text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

double number(const Lines& lines, std::size_t line, std::string_view field, const char* what)
{
    std::string digits(trimmed(field));
    std::replace(digits.begin(), digits.end(), 'D', 'E'); // Fortran's double exponent
    const char* from = digits.c_str() + (digits.starts_with('+') ? 1 : 0);
    double value = 0;
    const auto [end, problem] = std::from_chars(from, digits.c_str() + digits.size(), value);
    if (digits.empty() || problem != std::errc() || end != digits.c_str() + digits.size() || !std::isfinite(value))
        lines.refuse(line, fmt::format("'{}' is no {}", digits.substr(0, 30), what));
    return value;
}

/// A field of fixed columns; blank counts as 0.
double field(const Lines& lines, std::size_t line, std::size_t from, std::size_t width, const char* what)
{
    const std::string_view text = lines.at(line);
    const std::string_view part = from < text.size() ? text.substr(from, width) : std::string_view();
    return trimmed(part).empty() ? 0 : number(lines, line, part, what);
}

/// The values from a line on, in columns of 13 (single) or 20 (double) characters.
std::vector<double> values(const Lines& lines, std::size_t& line, long n, std::size_t width)
{
    std::vector<double> all;
    while (static_cast<long>(all.size()) < n) {
        const std::string_view text = lines.at(line);
        if (trimmed(text) == "-1") lines.refuse(line, fmt::format("{} values, but {} were announced", all.size(), n));
        for (std::size_t at = 0; at < text.size() && static_cast<long>(all.size()) < n; at += width)
            if (!trimmed(text.substr(at, width)).empty())
                all.push_back(number(lines, line, text.substr(at, width), "value"));
        ++line;
    }
    return all;
}

solver::TransferFunction::Response response_of(double kind)
{
    using Response = solver::TransferFunction::Response;
    if (kind == 8) return Response::Displacement;
    if (kind == 11) return Response::Velocity;
    return kind == 12 ? Response::Acceleration : Response::Unknown;
}

/// One dataset; `line` is its first record and is moved behind its data. Nothing when it is not a transfer function.
std::optional<solver::TransferFunction> read_one(const Lines& lines, std::size_t& line)
{
    const std::size_t first = line;
    solver::TransferFunction function;
    function.name = std::string(trimmed(lines.at(first)).substr(0, 60));
    if (field(lines, first + 5, 0, 5, "function type") != transfer_function) return std::nullopt;
    const double kind = field(lines, first + 6, 0, 10, "data type"), n = field(lines, first + 6, 10, 10, "count");
    const bool is_double = kind == 6;
    if (kind != 5 && kind != 6)
        lines.refuse(first + 6, "a transfer function without imaginary part; complex values are wanted");
    if (!(n >= 16) || n > most_values || n != std::floor(n))
        lines.refuse(first + 6, fmt::format("{} values; 16 to {} are read", n, most_values));
    if (field(lines, first + 6, 20, 10, "spacing") != 1)
        lines.refuse(first + 6, "uneven frequencies; export with even spacing");
    function.f_first = field(lines, first + 6, 30, 13, "first frequency");
    function.f_step = field(lines, first + 6, 43, 13, "frequency step");
    if (function.f_first < 0 || !(function.f_step > 0))
        lines.refuse(first + 6, "the frequencies must rise from 0 or above");
    function.response = response_of(field(lines, first + 8, 0, 10, "response kind"));
    line = first + 11;
    const std::vector<double> data = values(lines, line, 2 * static_cast<long>(n), is_double ? 20 : 13);
    function.H.resize(static_cast<Eigen::Index>(n));
    for (Eigen::Index i = 0; i < function.H.size(); ++i) {
        const auto at = static_cast<std::size_t>(2 * i);
        function.H[i] = {data[at], data[at + 1]};
    }
    return function;
}

} // namespace

ReadTransfer parse_dataset58(std::string_view text, const std::string& file)
{
    const Lines lines(text, file);
    ReadTransfer read;
    int n_others = 0;
    for (std::size_t line = 0; line + 1 < lines.all.size();) {
        if (trimmed(lines.all[line]) != "-1") {
            ++line;
            continue;
        }
        const std::string_view kind = trimmed(lines.at(line + 1));
        if (kind.starts_with("58b")) lines.refuse(line + 1, "the binary form of dataset 58; export it as text");
        line += 2;
        std::optional<solver::TransferFunction> function;
        if (kind == "58") function = read_one(lines, line);
        if (function)
            read.functions.push_back(std::move(*function));
        else
            ++n_others;
        while (line < lines.all.size() && trimmed(lines.all[line]) != "-1") ++line; // its end
        ++line;
    }
    if (read.functions.empty())
        throw InputError({file, 0, 0}, "", "no transfer function (dataset 58, function type 4) in this file");
    const solver::TransferFunction& first = read.functions.front();
    const double last = first.f_first + first.f_step * static_cast<double>(first.H.size() - 1);
    read.understood = fmt::format("{} transfer functions from {:.4g} to {:.5g} Hz, step {:.3g} Hz{}",
                                  read.functions.size(), first.f_first, last, first.f_step,
                                  n_others > 0 ? fmt::format("; {} other datasets left out", n_others) : "");
    return read;
}

ReadTransfer read_dataset58(const std::filesystem::path& file)
{
    return parse_dataset58(load_text(file, most_bytes), file.string());
}

} // namespace stillwall::app
