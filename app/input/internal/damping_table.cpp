#include "app/input/internal/damping_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace stillwall::app {

void check_row_order(const YamlNode& row, const DampingPoint& point, const std::vector<DampingPoint>& before)
{
    if (before.empty()) return;
    const DampingPoint& last = before.back();
    // A temperature written in another unit may differ in its last bits.
    constexpr double same_degree = 1e-6;
    const bool is_same_temperature = std::abs(point.temperature - last.temperature) < same_degree;
    const bool is_same_frequency = std::abs(point.frequency - last.frequency) < 1e-9 * last.frequency;
    const bool is_same = is_same_temperature && is_same_frequency;
    const bool is_later = is_same_temperature ? point.frequency > last.frequency : point.temperature > last.temperature;
    if (is_later && !is_same) return;
    const auto words = [](const DampingPoint& p) {
        return fmt::format("{:.6g} degC, {:.6g} Hz", p.temperature, p.frequency);
    };
    if (is_same) row.fail(fmt::format("the table says {} twice", words(point)));
    row.fail(fmt::format("the table goes backwards, {} stands after {}; rows rise in temperature and, within one "
                         "temperature, in frequency",
                         words(point), words(last)));
}

const DampingPoint& usual_point(const std::vector<DampingPoint>& table)
{
    constexpr double usual_temperature = 20, usual_frequency = 200; // [°C], [Hz]
    const auto distance = [](const DampingPoint& p) {
        return std::pair(std::abs(p.temperature - usual_temperature),
                         std::abs(std::log(p.frequency / usual_frequency)));
    };
    return *std::min_element(table.begin(), table.end(),
                             [&](const DampingPoint& a, const DampingPoint& b) { return distance(a) < distance(b); });
}

} // namespace stillwall::app
