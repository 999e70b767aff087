#pragma once
// Whether a cabinet can be put together: what would stand in the place of something else.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

/// Two things in one place.
struct Clash
{
    std::string part, other; ///< names of what is in the way, and of what it meets; together they name the clash
    std::string key;         ///< dotted path of the part for messages
    std::string problem;     ///< one line with its mend
    SourcePos where;
    bool is_certain = true; ///< by given figures; else by estimates of a driver's size, which the problem names
};

/// What meets what on a built cabinet. A driver is taken as a cone from its hole at the face its flange lies on to the
/// motor's rim at its rear; where depth or magnet are not given they are guessed from the hole's width w (own estimate,
/// no source):
///     depth 0.4 w + 20 mm, magnet 0.65 w
/// A port is its tube, from the board's face to its length; every hole is kept free through its board. Against them go
/// plates less their windows, walls, ribs, rods, other drivers and tubes; flanges against edges, holes and other
/// flanges; screws against edges and holes; rebates against layers.
/// @param spare  [m] ≥ 0 of room asked for around each
[[nodiscard]] std::vector<Clash> clashes(const Cabinet& cabinet, double spare);

/// Corners of each driver and tube behind its board, as clashes() takes them [m]: the hull of each is the body.
[[nodiscard]] std::vector<std::vector<Vector3d>> bodies_inside(const Cabinet& cabinet);

/// Builds the plan and refuses what no verb could use: all of build_cabinet(), certain clashes (of plates with the
/// nearest place that is free), all of check_sound().
/// @throws InputError
void check_whole(const CabinetPlan& plan);

/// Whether a changed plan passes check_whole() and leaves `spare` of room, certain or estimated, wherever the drawn
/// cabinet does.
[[nodiscard]] bool fits_with_room(const CabinetPlan& changed, const Cabinet& drawn, double spare);

/// Room that proposed cabinets keep [m].
inline constexpr double proposed_room = 5e-3;

} // namespace stillwall
