#include "app/input/internal/known_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <span>

namespace stillwall::app {
namespace {

std::string trimmed(std::string_view text)
{
    const std::size_t first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

/// What follows the last digit or point: "18.5 mm" → "mm".
std::string unit_of(const std::string& text)
{
    const std::size_t last = text.find_last_of("0123456789.");
    // Digits inside units ("kg/m3") do not occur among what is measured on a strip.
    return last == std::string::npos ? text : trimmed(std::string_view(text).substr(last + 1));
}

/// A unit this file alone knows.
struct OwnUnit
{
    std::string_view spelling;
    double factor; ///< [SI unit per unit]
};

Measure parse_own(const std::string& text, std::span<const OwnUnit> units, std::string_view wanted)
{
    const std::string unit = unit_of(text);
    const auto found =
        std::find_if(units.begin(), units.end(), [&](const OwnUnit& known) { return known.spelling == unit; });
    if (found == units.end()) return {0, fmt::format("must be {}, got '{}'", wanted, text)};
    Measure read = parse_measure(trimmed(std::string_view(text).substr(0, text.size() - unit.size())),
                                 Dimension::Number, LengthUnit::Millimetre);
    if (!read.problem.empty()) return {0, fmt::format("must be {}, got '{}'", wanted, text)};
    read.value *= found->factor;
    return read;
}

using Parser = std::function<Measure(const std::string&)>;
using Printer = std::function<std::string(double)>;

double checked(const YamlNode& node, const std::string& text, const Parser& parse, const Printer& print, Limits limits)
{
    const Measure read = parse(text);
    if (!read.problem.empty()) node.fail(read.problem);
    const double slack = 1e-12 * std::max(std::abs(limits.low), std::abs(limits.high));
    if (read.value < limits.low - slack || read.value > limits.high + slack)
        node.fail(fmt::format("must lie between {} and {}, got {}", print(limits.low), print(limits.high), text));
    return read.value;
}

solver::Known read_with_error(const YamlNode& node, const Parser& parse, const Printer& print, Limits limits,
                              UsualError usual, std::vector<std::string>& assumed)
{
    const std::string written = node.text();
    std::size_t at = written.find("±"), width = std::string_view("±").size();
    if (at == std::string::npos) {
        at = written.find("+-");
        width = 2;
    }
    if (at == std::string::npos) {
        const double value = checked(node, trimmed(written), parse, print, limits);
        const double error = usual.absolute > 0 ? usual.absolute : usual.relative * value;
        const std::string key = node.path().substr(node.path().find_last_of('.') + 1);
        assumed.push_back(usual.absolute > 0 ? fmt::format("{} ±{}", key, print(error))
                                             : fmt::format("{} ±{:.2g} %", key, 100 * usual.relative));
        return {value, error};
    }
    std::string left = trimmed(std::string_view(written).substr(0, at));
    std::string right = trimmed(std::string_view(written).substr(at + width));
    const std::string unit_left = unit_of(left), unit_right = unit_of(right);
    const bool has_number = right.find_first_of("0123456789") != std::string::npos;
    if (unit_left.empty() && unit_right != "%" && has_number) left += " " + unit_right;
    if (unit_right.empty()) right += " " + unit_left;
    const double value = checked(node, trimmed(left), parse, print, limits);
    Measure error;
    if (unit_right == "%") {
        error = parse_measure(right, Dimension::Ratio, LengthUnit::Millimetre);
        error.value *= value;
    } else {
        error = parse(trimmed(right));
    }
    if (!error.problem.empty()) node.fail(error.problem);
    constexpr double most = 0.3; // beyond, an error bar says nothing
    if (!(error.value >= 0 && error.value <= most * value))
        node.fail(fmt::format("the error after ± must lie between 0 and 30 % of the figure, got {}", right));
    return {value, error.value};
}

constexpr OwnUnit force_units[] = {{"N", 1}, {"kN", 1e3}};
constexpr OwnUnit time_units[] = {{"ms", 1e-3}, {"s", 1}};
constexpr OwnUnit level_units[] = {{"dB", 1}};

} // namespace

solver::Known read_known(const YamlNode& node, Dimension dimension, Limits limits, UsualError usual,
                         std::vector<std::string>& assumed)
{
    const LengthUnit unit = node.length_unit();
    return read_with_error(
        node, [&](const std::string& text) { return parse_measure(text, dimension, unit); },
        [&](double value) { return format_measure(value, dimension, unit); }, limits, usual, assumed);
}

double read_time(const YamlNode& node, Limits limits)
{
    return checked(
        node, trimmed(node.text()),
        [](const std::string& text) { return parse_own(text, time_units, "a time such as 45 ms or 0.3 s"); },
        [](double value) { return fmt::format("{:.6g} s", value); }, limits);
}

double read_decibels(const YamlNode& node, Limits limits)
{
    return checked(
        node, trimmed(node.text()),
        [](const std::string& text) { return parse_own(text, level_units, "a drop such as 20 dB"); },
        [](double value) { return fmt::format("{:.6g} dB", value); }, limits);
}

solver::Known read_force(const YamlNode& node, Limits limits, UsualError usual, std::vector<std::string>& assumed)
{
    return read_with_error(
        node, [](const std::string& text) { return parse_own(text, force_units, "a force such as 100 N"); },
        [](double value) { return fmt::format("{:.6g} N", value); }, limits, usual, assumed);
}

solver::Assumed read_assumed(const YamlNode& node, Dimension dimension, Limits limits)
{
    if (!node.is_sequence()) {
        const double value = node.measure(dimension, limits);
        return {value, value, value};
    }
    const std::vector<YamlNode> items = node.items(3);
    const solver::Assumed read{items[0].measure(dimension, limits), items[1].measure(dimension, limits),
                               items[2].measure(dimension, limits)};
    if (read.low > read.value || read.value > read.high)
        node.fail("three figures must be low, typical, high in this order");
    return read;
}

} // namespace stillwall::app
