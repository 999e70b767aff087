#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits frequency_limits{1, 1e5};
constexpr Limits level_limits{-150, 60};
constexpr Limits phase_limits{-100 * std::numbers::pi, 100 * std::numbers::pi}; // delays turn many times
constexpr std::size_t max_points = 1000;

bool is_listed(const std::vector<std::string>& names, const std::string& name)
{
    return std::find(names.begin(), names.end(), name) != names.end();
}

void read_crossover(const YamlNode& node, WayPlan& way)
{
    const std::vector<YamlNode> items = node.items();
    if (items.size() > max_points)
        node.fail(fmt::format("holds {} steps, at most {} are read", items.size(), max_points));
    for (const YamlNode& item : items) {
        item.only_keys({"frequency", "level", "phase"});
        CrossoverPoint point;
        const YamlNode frequency = item.at("frequency");
        point.frequency = frequency.measure(Dimension::Frequency, frequency_limits);
        if (!way.crossover.empty() && point.frequency <= way.crossover.back().frequency)
            frequency.fail(fmt::format("frequencies must rise, got {} after {:.6g} Hz", frequency.text(),
                                       way.crossover.back().frequency));
        point.level = item.at("level").measure(Dimension::Level, level_limits);
        if (const auto phase = item.find("phase")) point.phase = phase->measure(Dimension::Angle, phase_limits);
        way.crossover.push_back(point);
    }
}

/// @param others  drivers of earlier ways
void read_drivers(const YamlNode& part, const std::vector<std::string>& known, const std::vector<std::string>& others,
                  WayPlan& way)
{
    for (const YamlNode& item : part.at("drivers").items()) {
        const std::string name = read_reference(item, known, "driver");
        if (is_listed(way.drivers, name) || is_listed(others, name))
            item.fail(fmt::format("driver '{}' is already connected", name));
        way.drivers.push_back(name);
    }
    way.reversed.assign(way.drivers.size(), false);
    const auto reversed = part.find("reversed");
    if (!reversed) return;
    for (const YamlNode& item : reversed->items()) {
        const std::string name = read_reference(item, way.drivers, "driver of this way");
        const auto place = std::find(way.drivers.begin(), way.drivers.end(), name) - way.drivers.begin();
        if (way.reversed[static_cast<std::size_t>(place)]) item.fail(fmt::format("driver '{}' is listed twice", name));
        way.reversed[static_cast<std::size_t>(place)] = true;
    }
}

} // namespace

void read_ways(const YamlNode& ways, CabinetPlan& plan)
{
    const std::vector<std::string> known = driver_names(plan);
    std::set<std::string> taken;
    std::vector<std::string> connected;
    for (const YamlNode& part : read_parts(ways)) {
        part.only_keys({"name", "drivers", "reversed", "wiring", "crossover"});
        WayPlan way;
        way.where = part.where();
        way.name = read_name(part, taken);
        read_drivers(part, known, connected, way);
        connected.insert(connected.end(), way.drivers.begin(), way.drivers.end());
        if (const auto wiring = part.find("wiring")) way.is_series = wiring->choice({"parallel", "series"}) == 1;
        if (const auto crossover = part.find("crossover")) read_crossover(*crossover, way);
        plan.sound.ways.push_back(way);
    }
}

} // namespace stillwall::app
