#pragma once
// An own material that says some figures itself and takes the rest from a stock: {like: mdf, E: 3.1 GPa}.

#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"

#include <map>
#include <string>

namespace stillwall::app {

struct LikeMaterial
{
    const Stock* stock = nullptr;
    std::map<std::string, Quantity> own; ///< by the key written

    /// The material of a board of this thickness [m], named after the stock's thickness class where there are several.
    /// Own figures stand with their ranges, all others are the stock's with theirs. Nothing is scaled with an own
    /// figure but G12 of a board alike in every direction of its plane, which is E / (2 (1 + nu12)): that is what
    /// "alike" means.
    /// @throws MaterialError
    [[nodiscard]] Material at(const std::string& name, const MaterialLibrary& library, double thickness) const;
};

/// @param node  holds `like`
/// @throws InputError  unknown stock, a damping layer, a key that this stock does not have, or impossible constants
[[nodiscard]] LikeMaterial read_like_material(const std::string& name, const YamlNode& node,
                                              const MaterialLibrary& library);

} // namespace stillwall::app
