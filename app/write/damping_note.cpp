#include "app/write/damping_note.h"

#include "app/write/numbers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {

std::vector<std::string> damping_notes(const Cabinet& cabinet)
{
    constexpr double slack = 1; // [°C] no table knows its temperatures better
    std::vector<std::string> notes;
    for (const Material& m : cabinet.materials) {
        if (m.damping.empty()) continue;
        const auto colder = [](const DampingPoint& a, const DampingPoint& b) { return a.temperature < b.temperature; };
        const auto [low, high] = std::minmax_element(m.damping.begin(), m.damping.end(), colder);
        const double nearest = std::clamp(cabinet.temperature, low->temperature, high->temperature);
        if (std::abs(nearest - cabinet.temperature) <= slack) continue;
        const std::string end = shortest(nearest, 3);
        notes.push_back(
            fmt::format("the table of {} ends at {} °C: at {} °C it is taken as there, which may be far off", m.name,
                        end, shortest(cabinet.temperature, 3)));
    }
    return notes;
}

} // namespace stillwall::app
