#pragma once
// What measurements have taught about a cabinet's materials, beside what the library says.

#include "mesh/cabinet/material.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall {

/// Factors on a material's typical figures, each with one standard deviation of its logarithm.
struct LearnedMaterial
{
    struct Factor
    {
        double value = 1; ///< > 0
        double error = 0; ///< > 0
    };
    std::string material;            ///< as in CabinetPlan::materials
    std::optional<Factor> stiffness; ///< E1, E2, G12, and of an isotropic material all moduli
    std::optional<Factor> shear;     ///< G13, G23 of others
    std::optional<Factor> loss;      ///< both losses
    SourcePos where;
};

/// A range's ends lie this many standard deviations from the typical value.
inline constexpr double learned_deviations = 2;

/// Multiplies the typical figures and sets their ranges to ± 2 standard deviations about them.
void apply_learned(const LearnedMaterial& learned, Material& material);

} // namespace stillwall
