#pragma once
// Curved walls: first drawn as rows of flat facets, with which everything is built, then put together again. For
// mesh/cabinet's own use.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

/// An outer face bent over a side of the outline, seen from above.
struct Arc
{
    Vector2d centre = Vector2d::Zero();
    double radius = 0; ///< [m] > 0
    double start = 0;  ///< [rad] where the side's first corner lies
    double turn = 0;   ///< [rad] to its second corner, < 0 for an arc that bulges inwards
    [[nodiscard]] Vector2d at(double share, double off = 0) const; ///< `off` [m] further out from the centre
};

/// @param bulge  [m] not 0, at most half the chord either way
[[nodiscard]] Arc arc_over(const Vector2d& from, const Vector2d& to, double bulge);

[[nodiscard]] bool has_curved_walls(const CabinetPlan& plan);

/// What cannot be built with curved walls, or on one.
/// @throws InputError
void check_curved(const CabinetPlan& plan);

/// The plan with every curved wall as a row of flat ones of its name; these keep their `bulge` as a mark.
/// @param wall  gets, for each wall of the result, the index of the plan's
[[nodiscard]] CabinetPlan faceted(const CabinetPlan& plan, std::vector<int>& wall);

/// Takes the joints' law off the lines between two facets of a wall, and where a curved wall goes on smoothly into the
/// next: there the wood runs through. Does nothing without curved walls.
void join_facets(const CabinetPlan& flat_plan, Cabinet& flat);

/// The cabinet with curved boards.
/// @param flat  built of faceted(plan)
[[nodiscard]] Cabinet bent_cabinet(const CabinetPlan& plan, Cabinet flat, const std::vector<int>& wall);

} // namespace stillwall
