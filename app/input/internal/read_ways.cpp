#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits frequency_limits{1, 1e5};
constexpr Limits level_limits{-150, 60};
constexpr Limits phase_limits{-100 * std::numbers::pi, 100 * std::numbers::pi}; // delays turn many times
constexpr Limits filter_limits{1, 1e5};
constexpr Limits order_limits{1, 8};
constexpr Limits gain_limits{-60, 40};
constexpr Limits delay_limits{0, 0.1}; // 34 m of air
constexpr std::size_t max_points = 1000;
constexpr std::size_t max_filters = 20;

bool is_listed(const std::vector<std::string>& names, const std::string& name)
{
    return std::find(names.begin(), names.end(), name) != names.end();
}

void read_point(const YamlNode& item, WayPlan& way)
{
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

bool is_filter(const YamlNode& item)
{
    return item.is_map() && (item.has("low_pass") || item.has("high_pass"));
}

void read_filter(const YamlNode& item, WayPlan& way)
{
    item.only_keys({"low_pass", "high_pass", "order", "kind"});
    CrossoverFilter filter;
    const auto low = item.find("low_pass"), high = item.find("high_pass");
    if (low && high) high->fail("one filter is a low_pass or a high_pass; write the other as one more of the list");
    filter.is_low_pass = low.has_value();
    filter.frequency = (low ? *low : *high).measure(Dimension::Frequency, filter_limits);
    filter.kind = item.at("kind").choice({"butterworth", "linkwitz_riley"}) == 0 ? CrossoverFilter::Kind::Butterworth
                                                                                 : CrossoverFilter::Kind::LinkwitzRiley;
    const YamlNode node = item.at("order");
    const double order = node.number(order_limits);
    if (order != std::floor(order)) node.fail(fmt::format("must be a whole number, got {}", node.text()));
    filter.order = static_cast<int>(order);
    const bool is_squared = filter.kind == CrossoverFilter::Kind::LinkwitzRiley;
    if (!is_squared && filter.order > 4) node.fail("a butterworth here has order 1, 2, 3 or 4");
    if (is_squared && filter.order % 2 == 1) node.fail("a linkwitz_riley has order 2, 4, 6 or 8");
    way.filters.push_back(filter);
}

/// Points of a curve, or filters by their names.
void read_crossover(const YamlNode& node, WayPlan& way)
{
    const std::vector<YamlNode> items = node.items();
    const bool are_filters = is_filter(items.front());
    const std::size_t most = are_filters ? max_filters : max_points;
    if (items.size() > most)
        node.fail(
            fmt::format("holds {} {}, at most {} are read", items.size(), are_filters ? "filters" : "steps", most));
    for (const YamlNode& item : items) {
        if (is_filter(item) != are_filters)
            item.fail("points and filters by name do not mix in one list; give all of it one way or the other");
        if (are_filters)
            read_filter(item, way);
        else
            read_point(item, way);
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
        part.only_keys({"name", "drivers", "reversed", "wiring", "crossover", "gain", "delay"});
        WayPlan way;
        way.where = part.where();
        way.name = read_name(part, taken);
        read_drivers(part, known, connected, way);
        connected.insert(connected.end(), way.drivers.begin(), way.drivers.end());
        if (const auto wiring = part.find("wiring")) way.is_series = wiring->choice({"parallel", "series"}) == 1;
        if (const auto crossover = part.find("crossover")) read_crossover(*crossover, way);
        if (const auto gain = part.find("gain")) way.gain_dB = gain->measure(Dimension::Level, gain_limits);
        if (const auto delay = part.find("delay")) way.delay_s = delay->measure(Dimension::Time, delay_limits);
        plan.sound.ways.push_back(way);
    }
}

} // namespace stillwall::app
