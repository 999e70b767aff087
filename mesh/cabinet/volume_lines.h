#pragma once
// The net volume line by line.

#include "mesh/cabinet/cabinet.h"

namespace stillwall {

struct VolumeLine
{
    std::string name, kind; ///< kind: "inside the bare walls", "brace", "rod", "rib", "layer", "driver", "port", …
    double volume = 0;      ///< [m³], what is taken away is negative
};

/// Sums to Bookkeeping::net_volume_m3.
[[nodiscard]] std::vector<VolumeLine> volume_lines(const Cabinet& cabinet);

} // namespace stillwall
