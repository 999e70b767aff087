#pragma once
// The steps of build_sound(), in the order they run. For mesh/core's own use.

#include "mesh/cabinet/cabinet.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall {

/// An opening by index.
struct OpeningIndex
{
    int board = 0, opening = 0;
};

[[nodiscard]] const Opening& opening_at(const Cabinet& cabinet, const OpeningIndex& index);

/// The opening of this name, or nothing.
[[nodiscard]] std::optional<OpeningIndex> find_opening(const Cabinet& cabinet, std::string_view name);

/// Names of all drivers, for hints.
[[nodiscard]] std::vector<std::string> driver_names(const Cabinet& cabinet);

/// Centre of an opening on its wall's outer face [m].
[[nodiscard]] Vector3d outer_centre(const Cabinet& cabinet, const OpeningIndex& index);

/// What moves or lets out air in outer walls: figures fit their holes, tubes end inside.
void check_sources(const Cabinet& cabinet);

/// A cone or port in a brace: nothing of it can be computed.
void refuse_sources_inside(const Cabinet& cabinet);
[[nodiscard]] bool has_source_inside(const Cabinet& cabinet);

/// Drivers on one voltage; at least one driver.
void add_ways(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting);

/// Voltage or level, and the grid of frequencies.
void add_drive(const CabinetPlan& plan, SoundSetting& setting);

/// The rigid plane outside, if there is one; no source may open onto it.
void add_plane(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting);

/// Listeners, and where the level holds. Needs ways and plane.
void add_listeners(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting);

/// Fillings, packed.
void add_fillings(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting);

/// Where to point when the section `sound` as a whole is meant.
[[nodiscard]] const SourcePos& sound_place(const CabinetPlan& plan);

} // namespace stillwall
