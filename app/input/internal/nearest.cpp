#include "app/input/internal/nearest.h"

#include "mesh/core/names.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace stillwall::app {

std::string hint_from(std::string_view word, const std::vector<std::string>& known)
{
    constexpr std::size_t shortest_compared = 3; // any two single letters are one slip apart
    constexpr std::size_t longest_compared = 64;
    constexpr std::size_t longest_list = 12;
    if (word.size() >= shortest_compared && word.size() <= longest_compared)
        if (const auto nearest = nearest_name(word, known)) return fmt::format(", did you mean '{}'?", *nearest);
    if (known.empty() || known.size() > longest_list) return {};
    return fmt::format(", known here: {}", fmt::join(known, ", "));
}

} // namespace stillwall::app
