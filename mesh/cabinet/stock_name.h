#pragma once
// Which stock a material is of, by its name.

#include <string_view>

namespace stillwall {

/// "mdf (12 to 19 mm)" → "mdf"; a name without brackets is its own.
[[nodiscard]] inline std::string_view stock_name(std::string_view material)
{
    return material.substr(0, material.find(" ("));
}

} // namespace stillwall
