#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits volts_limits{1e-3, 500};
constexpr Limits level_limits{30, 140};
// Beyond the highest frequency the models outside and inside get too large.
constexpr Limits frequency_limits{5, 6000};
constexpr Limits per_octave_limits{3, 96};
constexpr std::size_t max_frequencies = 1000;
constexpr std::size_t max_listeners = 20;
constexpr Limits place_limits{-50, 50};
constexpr Limits distance_limits{0.01, 50};
constexpr Limits across_limits{-std::numbers::pi, std::numbers::pi};
constexpr Limits up_limits{-std::numbers::pi / 2, std::numbers::pi / 2};
constexpr Limits plane_limits{0, 50};
constexpr Limits window_limits{0, std::numbers::pi / 2};
constexpr Limits hearing_limits{1, 20e3};

void read_drive(const YamlNode& node, SoundPlan& sound)
{
    const auto level = node.find("level"), band = node.find("level_band");
    if (const auto volts = node.find("volts")) {
        if (level) level->fail("give either volts or level");
        sound.volts = volts->measure(Dimension::Voltage, volts_limits);
    }
    if (level) sound.level_dB = level->measure(Dimension::Level, level_limits);
    if (!band) return;
    if (!level) band->fail("is where a level holds; give level, too");
    const std::vector<YamlNode> ends = band->items(2);
    sound.level_from = ends[0].measure(Dimension::Frequency, frequency_limits);
    sound.level_to = ends[1].measure(Dimension::Frequency, frequency_limits);
    if (sound.level_from >= sound.level_to) band->fail("must be [lower, higher]");
}

/// A list written out, or a grid.
void read_frequencies(const YamlNode& node, SoundPlan& sound)
{
    if (const auto list = node.find("frequencies")) {
        for (std::string_view key : {"from", "to", "per_octave"})
            if (const auto found = node.find(key))
                found->fail("give either frequencies or a grid by from, to and per_octave");
        const std::vector<YamlNode> items = list->items();
        if (items.size() > max_frequencies)
            list->fail(fmt::format("holds {} frequencies, at most {} are read", items.size(), max_frequencies));
        for (const YamlNode& item : items) {
            const double f = item.measure(Dimension::Frequency, frequency_limits);
            if (!sound.frequencies.empty() && f <= sound.frequencies.back())
                item.fail(fmt::format("frequencies must rise, got {} after {:.6g} Hz", item.text(),
                                      sound.frequencies.back()));
            sound.frequencies.push_back(f);
        }
        return;
    }
    const auto from = node.find("from"), to = node.find("to");
    if (from) sound.f_from = from->measure(Dimension::Frequency, frequency_limits);
    if (to) sound.f_to = to->measure(Dimension::Frequency, frequency_limits);
    if (sound.f_from >= sound.f_to)
        (from ? *from : *to)
            .fail(fmt::format("the grid must rise, got from {:.6g} Hz to {:.6g} Hz", sound.f_from, sound.f_to));
    if (const auto n = node.find("per_octave")) {
        const double steps = n->number(per_octave_limits);
        if (steps != std::floor(steps)) n->fail(fmt::format("must be a whole number, got {}", n->text()));
        sound.per_octave = static_cast<int>(steps);
    }
}

Vector3d read_place(const YamlNode& node)
{
    const std::vector<YamlNode> items = node.items(3);
    return {items[0].length(place_limits), items[1].length(place_limits), items[2].length(place_limits)};
}

void read_listeners(const YamlNode& node, CabinetPlan& plan)
{
    std::set<std::string> taken;
    const std::vector<YamlNode> parts = node.items();
    if (parts.size() > max_listeners)
        node.fail(fmt::format("holds {} listeners, at most {} are computed", parts.size(), max_listeners));
    for (const YamlNode& part : parts) {
        part.only_keys({"name", "at", "distance", "across", "up", "in_front_of"});
        ListenerPlan listener;
        listener.where = part.where();
        listener.name = read_name(part, taken);
        if (const auto at = part.find("at")) {
            for (std::string_view key : {"distance", "across", "up", "in_front_of"})
                if (const auto found = part.find(key))
                    found->fail("give either a place by 'at', or a direction and distance");
            listener.at = read_place(*at);
        }
        if (const auto n = part.find("distance")) listener.distance = n->length(distance_limits);
        if (const auto n = part.find("across")) listener.across = n->measure(Dimension::Angle, across_limits);
        if (const auto n = part.find("up")) listener.up = n->measure(Dimension::Angle, up_limits);
        if (const auto n = part.find("in_front_of"))
            listener.in_front_of = read_reference(*n, driver_names(plan), "driver");
        plan.sound.listeners.push_back(listener);
    }
}

void read_window(const YamlNode& node, SoundPlan& sound)
{
    node.only_keys({"across", "up"});
    const auto across = node.find("across"), up = node.find("up");
    if (!across && !up) node.fail("opens nowhere; give 'across', 'up' or both");
    if (across) sound.window.across = across->measure(Dimension::Angle, window_limits);
    if (up) sound.window.up = up->measure(Dimension::Angle, window_limits);
}

void read_rest(const YamlNode& node, SoundPlan& sound)
{
    node.only_keys({"level", "from", "to"});
    RestOfSystem rest;
    rest.level_dB = node.at("level").measure(Dimension::Level, level_limits);
    const auto from = node.find("from"), to = node.find("to");
    if (from) rest.from = from->measure(Dimension::Frequency, hearing_limits);
    if (to) rest.to = to->measure(Dimension::Frequency, hearing_limits);
    if (rest.from >= rest.to)
        (to ? *to : *from).fail(fmt::format("the band must rise, got from {:.6g} Hz to {:.6g} Hz", rest.from, rest.to));
    sound.rest = rest;
}

void read_surroundings(const YamlNode& node, SoundPlan& sound)
{
    if (const auto floor = node.find("floor")) sound.floor = floor->length(plane_limits);
    if (const auto wall = node.find("wall")) {
        if (sound.floor) wall->fail("give either floor or wall, one rigid plane can be computed");
        sound.wall = wall->length(plane_limits);
    }
}

} // namespace

void read_sound(const YamlNode& sound, CabinetPlan& plan)
{
    sound.only_keys({"volts", "level", "level_band", "from", "to", "per_octave", "frequencies", "listeners", "ways",
                     "floor", "wall", "listening_window", "rest_of_system"});
    plan.sound.where = sound.where();
    read_drive(sound, plan.sound);
    read_frequencies(sound, plan.sound);
    if (const auto listeners = sound.find("listeners")) read_listeners(*listeners, plan);
    if (const auto window = sound.find("listening_window")) read_window(*window, plan.sound);
    if (const auto rest = sound.find("rest_of_system")) read_rest(*rest, plan.sound);
    if (const auto ways = sound.find("ways")) read_ways(*ways, plan);
    read_surroundings(sound, plan.sound);
}

} // namespace stillwall::app
