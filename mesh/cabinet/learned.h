#pragma once
// What measurements have taught about a cabinet's materials and baskets, beside what the library says.

#include "mesh/cabinet/basket.h"
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

/// A factor on the axial frequency of a driver's motor on its basket.
struct LearnedBasket
{
    std::string driver;
    LearnedMaterial::Factor motor_frequency;
    SourcePos where{};
};

/// All that was learned of a cabinet.
struct Learned
{
    std::vector<LearnedMaterial> materials{};
    std::vector<LearnedBasket> baskets{};
};

/// A range's ends lie this many standard deviations from the typical value.
inline constexpr double learned_deviations = 2;

/// Multiplies the typical figures and sets their ranges to ± 2 standard deviations about them.
void apply_learned(const LearnedMaterial& learned, Material& material);
/// The same of the axial frequency; a rocking one that was estimated from it follows.
void apply_learned(const LearnedBasket& learned, Basket& basket);

} // namespace stillwall
