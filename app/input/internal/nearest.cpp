#include "app/input/internal/nearest.h"

#include "mesh/cabinet/names.h"

namespace stillwall::app {

std::string hint_from(std::string_view word, const std::vector<std::string>& known)
{
    constexpr std::size_t longest_list = 12;
    // Symbols such as Sd are too short to be near to anything, but not to be written in other letters.
    for (const std::string& name : known)
        if (name.size() == word.size() && edit_distance(word, name) == 0) return ", did you mean '" + name + "'?";
    if (known.empty() || (known.size() > longest_list && !nearest_name(word, known))) return {};
    return ", " + name_hint(word, known);
}

} // namespace stillwall::app
