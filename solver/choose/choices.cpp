#include "solver/choose/choices.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace stillwall::solver {

std::optional<NumberAndUnit> split_number(const std::string& text)
{
    const std::size_t first = text.find_first_not_of(' ');
    if (first == std::string::npos) return std::nullopt;
    const char* begin = text.data() + first;
    const char* end = text.data() + text.size();
    NumberAndUnit split;
    const auto [stop, error] = std::from_chars(begin, end, split.number);
    if (error != std::errc{} || !std::isfinite(split.number)) return std::nullopt;
    const std::string rest(stop, end);
    if (!rest.empty() && rest.front() == '/') return std::nullopt;
    const std::size_t from = rest.find_first_not_of(' ');
    if (from != std::string::npos) split.unit = rest.substr(from, rest.find_last_not_of(' ') - from + 1);
    if (!split.unit.empty() && split.unit.front() >= '0' && split.unit.front() <= '9') return std::nullopt;
    return split;
}

std::string number_text(double number, const std::string& unit)
{
    std::string text = fmt::format("{:.10g}", number == 0 ? 0.0 : number);
    return unit.empty() ? text : text + " " + unit;
}

std::vector<Setting> ChangeAxis::set_to(const std::string& text) const
{
    std::vector<Setting> settings;
    for (const std::string& path : paths) settings.push_back({path, text, takes_out, where, key});
    return settings;
}

} // namespace stillwall::solver
