#pragma once
// The net volume line by line.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

struct VolumeLine
{
    std::string name, kind; ///< kind: "inside the bare walls", "brace", "rod", "rib", "layer", "driver", "port", …
    double volume = 0;      ///< [m³], what is taken away is negative
    std::vector<Vector3d> at{}; ///< [m] points in the room it takes, of equal weight; none for walls and braces
};

/// Sums to Bookkeeping::net_volume_m3.
[[nodiscard]] std::vector<VolumeLine> volume_lines(const Cabinet& cabinet);

} // namespace stillwall
