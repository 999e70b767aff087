#include "mesh/cabinet/build_sound.h"

#include "mesh/cabinet/internal/build_sound_steps.h"
#include "mesh/cabinet/names.h"

#include <cmath>
#include <cstdio>
#include <numbers>
#include <set>

namespace stillwall {
namespace {

std::string in_Hz(double f)
{
    char text[40];
    std::snprintf(text, sizeof text, "%.6g Hz", f);
    return text;
}

/// All drivers that can be driven, in the order of the plan.
std::vector<OpeningIndex> drivers_with_figures(const CabinetPlan& plan, const Cabinet& cabinet)
{
    std::vector<OpeningIndex> found;
    for (const OpeningPlan& item : plan.openings) {
        const auto index = find_opening(cabinet, item.name);
        if (!index) continue;
        const InsertPlan& insert = opening_at(cabinet, *index).insert;
        if (insert.kind == InsertPlan::Kind::Driver && insert.small_signal) found.push_back(*index);
    }
    return found;
}

constexpr const char* wanted_figures =
    "Re, Bl, Mms, Cms, Qms and Sd (or others from which these follow) in its 'driver'";

OpeningIndex driver_of(const Cabinet& cabinet, const std::string& name, const SourcePos& where, const std::string& key)
{
    const auto index = find_opening(cabinet, name);
    if (!index || opening_at(cabinet, *index).insert.kind != InsertPlan::Kind::Driver)
        throw InputError(where, key, "there is no driver '" + name + "'; " + name_hint(name, driver_names(cabinet)));
    if (!opening_at(cabinet, *index).insert.small_signal)
        throw InputError(where, key, "driver '" + name + "' has no figures; give it " + wanted_figures);
    return *index;
}

void check_crossover(const WayPlan& way, const std::string& key)
{
    double last = 0;
    for (const CrossoverPoint& point : way.crossover) {
        const bool is_finite =
            std::isfinite(point.frequency) && std::isfinite(point.level) && std::isfinite(point.phase);
        if (!is_finite || !(point.frequency > last))
            throw InputError(way.where, key + ".crossover",
                             "frequencies must rise, got " + in_Hz(point.frequency) + " after " + in_Hz(last));
        last = point.frequency;
    }
    if (!way.crossover.empty() && !way.filters.empty())
        throw InputError(way.where, key + ".crossover", "points and filters by name do not mix in one list");
    for (const CrossoverFilter& filter : way.filters) {
        const bool is_squared = filter.kind == CrossoverFilter::Kind::LinkwitzRiley;
        const bool has_order =
            filter.order >= 1 && filter.order <= (is_squared ? 8 : 4) && !(is_squared && filter.order % 2 == 1);
        if (!has_order || !(filter.frequency > 0 && std::isfinite(filter.frequency)))
            throw InputError(way.where, key + ".crossover", "there is no filter of this frequency and order");
    }
    if (!std::isfinite(way.gain_dB) || !(way.delay_s >= 0 && std::isfinite(way.delay_s)))
        throw InputError(way.where, key, "gain and delay must be finite, and a delay is not negative");
}

void check_hearing(const SoundPlan& sound, const SourcePos& where)
{
    for (const double angle : {sound.window.across, sound.window.up})
        if (!(angle >= 0 && angle <= std::numbers::pi / 2))
            throw InputError(where, "sound.listening_window", "opens by 0 to 90 degrees");
    const auto& rest = sound.rest;
    if (rest && !(std::isfinite(rest->level_dB) && rest->from >= 0 && rest->from < rest->to && std::isfinite(rest->to)))
        throw InputError(where, "sound.rest_of_system", "needs a level, and a band that rises");
}

std::vector<double> grid(const SoundPlan& sound)
{
    std::vector<double> f;
    // A last step shorter than this would only repeat f_to.
    constexpr double same = 1e-6;
    for (int i = 0;; ++i) {
        const double next = sound.f_from * std::exp2(static_cast<double>(i) / sound.per_octave);
        if (next >= sound.f_to * (1 - same)) break;
        f.push_back(next);
    }
    f.push_back(sound.f_to);
    return f;
}

} // namespace

const SourcePos& sound_place(const CabinetPlan& plan)
{
    return plan.sound.where.line > 0 ? plan.sound.where : plan.where;
}

const Opening& opening_at(const Cabinet& cabinet, const OpeningIndex& index)
{
    return cabinet.board(index.board).openings.at(static_cast<std::size_t>(index.opening));
}

std::optional<OpeningIndex> find_opening(const Cabinet& cabinet, std::string_view name)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const std::vector<Opening>& openings = cabinet.boards[b].openings;
        for (std::size_t o = 0; o < openings.size(); ++o)
            if (openings[o].name == name) return OpeningIndex{static_cast<int>(b), static_cast<int>(o)};
    }
    return std::nullopt;
}

std::vector<std::string> driver_names(const Cabinet& cabinet)
{
    std::vector<std::string> names;
    for (const Board& board : cabinet.boards)
        for (const Opening& opening : board.openings)
            if (opening.insert.kind == InsertPlan::Kind::Driver) names.push_back(opening.name);
    return names;
}

void add_ways(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting)
{
    const std::vector<OpeningIndex> all = drivers_with_figures(plan, cabinet);
    if (all.empty())
        throw InputError(sound_place(plan), "openings",
                         std::string("no driver can be driven; give one ") + wanted_figures);
    if (plan.sound.ways.empty()) {
        Way way;
        way.name = "amplifier";
        for (const OpeningIndex& index : all) way.drivers.push_back({index.board, index.opening, 1});
        setting.ways.push_back(way);
        return;
    }
    std::set<std::string> taken;
    for (const WayPlan& item : plan.sound.ways) {
        const std::string key = "sound.ways." + item.name;
        if (item.drivers.empty()) throw InputError(item.where, key + ".drivers", "names no driver");
        check_crossover(item, key);
        Way way{item};
        for (std::size_t i = 0; i < item.drivers.size(); ++i) {
            const OpeningIndex index = driver_of(cabinet, item.drivers[i], item.where, key + ".drivers");
            if (!taken.insert(item.drivers[i]).second)
                throw InputError(item.where, key + ".drivers", "driver '" + item.drivers[i] + "' is already connected");
            const bool is_reversed = i < item.reversed.size() && item.reversed[i];
            way.drivers.push_back({index.board, index.opening, is_reversed ? -1.0 : 1.0});
        }
        setting.ways.push_back(std::move(way));
    }
}

void add_drive(const CabinetPlan& plan, SoundSetting& setting)
{
    const SoundPlan& sound = plan.sound;
    const SourcePos& where = sound_place(plan);
    constexpr double usual_volts = 2.83; // [V] 1 W into 8 ohm
    if (sound.volts && sound.level_dB) throw InputError(where, "sound.level", "give either volts or level");
    if (sound.volts && !(*sound.volts > 0 && std::isfinite(*sound.volts)))
        throw InputError(where, "sound.volts", "must be above zero, or nothing moves");
    if (!sound.level_dB) setting.volts = sound.volts.value_or(usual_volts);
    if (!(sound.level_from > 0 && sound.level_from < sound.level_to))
        throw InputError(where, "sound.level_band", "must run from a lower to a higher frequency");

    if (sound.frequencies.empty()) {
        if (!(sound.f_from > 0 && sound.f_from < sound.f_to && std::isfinite(sound.f_to)))
            throw InputError(where, "sound.from",
                             in_Hz(sound.f_from) + " is not below 'to', which is " + in_Hz(sound.f_to));
        if (sound.per_octave < 1) throw InputError(where, "sound.per_octave", "must be 1 at least");
        setting.frequencies = grid(sound);
    } else {
        double last = 0;
        for (const double f : sound.frequencies) {
            if (!(f > last) || !std::isfinite(f))
                throw InputError(where, "sound.frequencies", "must rise, got " + in_Hz(f) + " after " + in_Hz(last));
            last = f;
        }
        setting.frequencies = sound.frequencies;
    }
    bool is_level_known = !setting.level_dB.has_value();
    for (const double f : setting.frequencies)
        is_level_known = is_level_known || (f >= setting.level_from && f <= setting.level_to);
    if (!is_level_known)
        throw InputError(where, "sound.level_band",
                         "none of the frequencies lies between " + in_Hz(setting.level_from) + " and " +
                             in_Hz(setting.level_to) + ", where the level is to hold");
}

void check_sound(const CabinetPlan& plan, const Cabinet& cabinet)
{
    if (cabinet.facets) return check_sound(plan, cabinet.facets->flat);
    check_sources(cabinet);
    const bool has_inner = has_source_inside(cabinet);
    const bool is_played = !drivers_with_figures(plan, cabinet).empty() || !plan.sound.ways.empty();
    if (is_played && !has_inner) {
        static_cast<void>(build_sound(plan, cabinet));
        return;
    }
    SoundSetting setting{plan.sound};
    check_hearing(plan.sound, sound_place(plan));
    add_drive(plan, setting);
    add_plane(plan, cabinet, setting);
    add_fillings(plan, cabinet, setting);
}

namespace {

/// Set up on the facets, told of the curved boards.
SoundSetting of_curved(const CabinetPlan& plan, const FacetedCabinet& facets)
{
    SoundSetting setting = build_sound(plan, facets.flat);
    const auto bent = [&](int& board) { board = facets.board[static_cast<std::size_t>(board)]; };
    for (Way& way : setting.ways)
        for (Way::Driver& driver : way.drivers) bent(driver.board);
    for (Filling& filling : setting.fillings)
        if (filling.board) bent(*filling.board);
    return setting;
}

} // namespace

SoundSetting build_sound(const CabinetPlan& plan, const Cabinet& cabinet)
{
    if (cabinet.facets) return of_curved(plan, *cabinet.facets);
    SoundSetting setting{plan.sound};
    add_ways(plan, cabinet, setting);
    refuse_sources_inside(cabinet);
    check_sources(cabinet);
    check_hearing(plan.sound, sound_place(plan));
    add_drive(plan, setting);
    add_plane(plan, cabinet, setting);
    add_listeners(plan, cabinet, setting);
    add_fillings(plan, cabinet, setting);
    return setting;
}

} // namespace stillwall
