#include "app/input/internal/measure.h"

#include "app/input/internal/measure_units.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>

namespace stillwall::app {
namespace {

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

std::size_t count_digits(std::string_view text)
{
    return static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), is_digit) - text.begin());
}

std::string_view trimmed(std::string_view text)
{
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Length of the longest prefix that is a decimal number without sign; 0 when there is none.
std::size_t decimal_prefix(std::string_view text)
{
    std::size_t n = count_digits(text);
    std::size_t n_digits = n;
    if (n < text.size() && text[n] == '.') {
        const std::size_t n_fraction = count_digits(text.substr(n + 1));
        n_digits += n_fraction;
        n += 1 + n_fraction;
    }
    if (n_digits == 0) return 0;
    if (n < text.size() && (text[n] == 'e' || text[n] == 'E')) {
        std::size_t m = n + 1;
        if (m < text.size() && (text[m] == '+' || text[m] == '-')) ++m;
        const std::size_t n_exponent = count_digits(text.substr(m));
        if (n_exponent > 0) n = m + n_exponent;
    }
    return n;
}

bool has_leading_zero(std::string_view digits)
{
    return digits.size() > 1 && digits[0] == '0' && is_digit(digits[1]);
}

/// What is odd about the characters at and after a number, or empty: 1,5 / 1_000 / 0x1f / 010.
std::string oddity(std::string_view number, std::string_view rest)
{
    if (has_leading_zero(number)) {
        std::string_view plain = number.substr(std::min(number.find_first_not_of('0'), number.size() - 1));
        return fmt::format("number with a leading zero, write {}{}", plain[0] == '.' ? "0" : "", plain);
    }
    if (number == "0" && !rest.empty() && (rest[0] == 'x' || rest[0] == 'X' || rest[0] == 'o' || rest[0] == 'b'))
        return "numbers are decimal here";
    if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1]))
        return fmt::format("comma inside a number, write the decimal point as {}.{}", number,
                           rest.substr(1, count_digits(rest.substr(1))));
    if (rest.size() > 1 && (rest[0] == '_' || rest[0] == '\'') && is_digit(rest[1]))
        return "write the digits of a number without separators";
    return {};
}

/// Takes "/16" off the front of `rest`; nothing when it is not a whole denominator from 1 to 999.
std::optional<double> take_denominator(std::string_view& rest)
{
    if (rest.empty() || rest[0] != '/') return std::nullopt;
    const std::size_t n = count_digits(rest.substr(1));
    int denominator = 0;
    std::from_chars(rest.data() + 1, rest.data() + 1 + n, denominator);
    if (n == 0 || n > 3 || denominator == 0) return std::nullopt;
    rest.remove_prefix(1 + n);
    return denominator;
}

bool is_whole(std::string_view number)
{
    return count_digits(number) == number.size();
}

bool is_fraction(std::string_view text)
{
    return text.find('/') != std::string_view::npos;
}

/// "3/4" and "1 1/2": completes `value`, whose digits were `number`, from the front of `rest`.
/// Returns a problem or an empty text.
std::string take_fraction(double& value, std::string_view number, std::string_view& rest)
{
    constexpr std::string_view wanted = "fractions look like 3/4 or 1 1/2";
    if (!rest.empty() && rest[0] == '/' && rest.size() > 1 && is_digit(rest[1])) {
        const auto denominator = take_denominator(rest);
        if (!denominator || !is_whole(number)) return std::string(wanted);
        value /= *denominator;
        return {};
    }
    std::string_view second = trimmed(rest);
    const bool has_dash = second.size() > 1 && second[0] == '-' && is_digit(second[1]); // 4-1/4
    if (has_dash) second.remove_prefix(1);
    if (second.empty() || !is_digit(second[0])) return {};
    const std::size_t n = count_digits(second);
    std::string_view tail = second.substr(n);
    double numerator = 0;
    std::from_chars(second.data(), second.data() + n, numerator);
    const auto denominator = take_denominator(tail);
    if (!denominator || !is_whole(number) || has_leading_zero(second)) return std::string(wanted);
    value += numerator / *denominator;
    rest = tail;
    return {};
}

std::string offered_units(const DimensionInfo& dimension)
{
    std::string list;
    for (const Unit& unit : dimension.units)
        if (unit.is_offered) list += (list.empty() ? "" : ", ") + std::string(unit.spelling);
    return list;
}

/// "4 lb 3 oz": the ounces are added to the pounds, and `rest` ends with its "lb". Anything else stays.
void take_ounces(double& pounds, std::string_view& rest)
{
    const std::string_view text = trimmed(rest);
    if (!text.starts_with("lb")) return;
    const std::string_view second = trimmed(text.substr(text.starts_with("lbs") ? 3 : 2));
    const std::size_t n = decimal_prefix(second);
    if (n == 0 || trimmed(second.substr(n)) != "oz") return;
    double ounces = 0;
    std::from_chars(second.data(), second.data() + n, ounces);
    pounds += ounces / 16;
    rest = "lb";
}

std::string unit_problem(const DimensionInfo& dimension, std::string_view number, std::string_view unit)
{
    if (dimension.units.empty())
        return fmt::format("takes a bare number without a unit, such as {}", dimension.example);
    const auto n_offered =
        std::count_if(dimension.units.begin(), dimension.units.end(), [](const Unit& one) { return one.is_offered; });
    if (unit.empty() && n_offered == 1)
        return fmt::format("needs its unit, write {} {}", number, dimension.units.front().spelling);
    if (unit.empty())
        return fmt::format("needs a unit, one of {}; for example {}", offered_units(dimension), dimension.example);
    return fmt::format("'{}' is not a unit of {}, possible: {}", unit, dimension.noun, offered_units(dimension));
}

double default_factor(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::Millimetre:
        return units::mm;
    case LengthUnit::Centimetre:
        return 1e-2;
    case LengthUnit::Inch:
        return units::inch;
    }
    return units::mm;
}

/// The unit written; an empty one where a number may come without.
std::optional<Unit> unit_of(Dimension dimension, std::string_view unit, LengthUnit default_unit, double value)
{
    if (unit.empty()) {
        if (dimension == Dimension::Length) return Unit{"", default_factor(default_unit)};
        const bool is_nought = value == 0 && dimension != Dimension::Temperature;
        if (is_nought || dimension == Dimension::Number || dimension == Dimension::Ratio) return Unit{"", 1};
        return std::nullopt;
    }
    const DimensionInfo wanted = dimension_info(dimension);
    for (const Unit& known : wanted.units)
        if (known.spelling == unit) return known;
    return std::nullopt;
}

bool means_not_finite(std::string_view text)
{
    std::string lower;
    for (char c : text)
        if (c != '.' && c != '+' && c != '-') lower += static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return lower == "nan" || lower == "inf" || lower == "infinity";
}

} // namespace

Measure parse_measure(std::string_view text, Dimension dimension, LengthUnit default_unit)
{
    const DimensionInfo wanted = dimension_info(dimension);
    std::string_view rest = trimmed(text);
    if (means_not_finite(rest)) return {0, fmt::format("must be a finite number, got '{}'", rest)};

    const bool is_negative = !rest.empty() && rest[0] == '-';
    if (!rest.empty() && (rest[0] == '-' || rest[0] == '+')) rest.remove_prefix(1);
    const std::size_t n = decimal_prefix(rest);
    const std::string_view number = rest.substr(0, n);
    if (n == 0) return {0, fmt::format("must be {} such as {}, got '{}'", wanted.noun, wanted.example, trimmed(text))};
    rest.remove_prefix(n);
    if (std::string problem = oddity(number, rest); !problem.empty())
        return {0, fmt::format("{}, got '{}'", problem, trimmed(text))};

    double value = 0;
    if (std::from_chars(number.data(), number.data() + n, value).ec != std::errc{})
        return {0, fmt::format("number too large or too small, got '{}'", trimmed(text))};
    if (dimension == Dimension::Length)
        if (std::string problem = take_fraction(value, number, rest); !problem.empty())
            return {0, fmt::format("{}, got '{}'", problem, trimmed(text))};

    if (dimension == Dimension::Mass) take_ounces(value, rest);

    const std::string_view unit = trimmed(rest);
    // 3/4 without a unit in a metric file was surely meant in inches, not as 0.75 mm.
    if (dimension == Dimension::Length && unit.empty() && default_unit != LengthUnit::Inch && is_fraction(text))
        return {0, fmt::format("a fraction needs its unit, write {} in", trimmed(text))};
    const std::optional<Unit> known = unit_of(dimension, unit, default_unit, value);
    if (!known) return {0, fmt::format("{}, got '{}'", unit_problem(wanted, number, unit), trimmed(text))};
    const double si = (is_negative ? -value : value) * known->factor + known->zero;
    if (!std::isfinite(si)) return {0, fmt::format("number too large, got '{}'", trimmed(text))};
    return {si, {}};
}

std::string format_measure(double value_si, Dimension dimension, LengthUnit unit)
{
    if (dimension == Dimension::Length) {
        const std::string_view name = unit == LengthUnit::Inch ? "in" : unit == LengthUnit::Centimetre ? "cm" : "mm";
        return fmt::format("{:.5g} {}", value_si / default_factor(unit), name);
    }
    if (dimension == Dimension::Number || dimension == Dimension::Ratio) return fmt::format("{:.6g}", value_si);
    const std::span<const Unit> all = dimension_info(dimension).units; // the units themselves are static
    const auto size_in = [value_si](const Unit& one) { return std::abs(value_si / one.factor); };
    const Unit* best = &all.front();
    // 5e-05 kg reads better as 0.05 g.
    if (value_si != 0 && (size_in(*best) < 1e-3 || size_in(*best) >= 1e6))
        for (const Unit& one : all)
            if (one.is_offered && one.zero == 0 && size_in(one) >= 0.01 && size_in(one) < 1e4) {
                best = &one;
                break;
            }
    return fmt::format("{:.6g} {}", value_si / best->factor, best->spelling);
}

} // namespace stillwall::app
