#pragma once
// A basket's figures where nobody measured them, from what it is made of and the driver's size and mass.

#include "mesh/cabinet/basket.h"

#include <optional>
#include <string>

namespace stillwall {

/// What the user said of a basket; figures that are missing are estimated.
struct BasketGiven
{
    Basket::Kind kind = Basket::Kind::Untold;
    std::optional<Quantity> rim_share{}, rim_EI{}, axial_Hz{}, rocking_Hz{}, loss{};
};

/// For a hole of 150 mm and 2 kg (low, typical, high; from memory, no source; polymer a wide guess):
///
///     kind           share on the rim     EI [N·m²]        axial [Hz]         loss
///     cast           0.10 0.15 0.20       8   15   30      700  900  1200     0.005 0.010 0.03
///     pressed steel  0.10 0.15 0.20       0.5 1.6  5       450  550  650      0.005 0.012 0.03
///     polymer        0.05 0.10 0.15       0.2 0.8  3       300  480  750      0.015 0.035 0.08
///     not said       0.10 0.15 0.20       0.5 4    30      450  730  1200     0.005 0.012 0.03
///
/// Baskets of one shape have stiffness along the axis as their size and EI about as its square (common practice, no
/// source), so that
///     f_a = f_a0 √((w/150 mm) / (mass/2 kg)),   EI = EI_0 (w/150 mm)²
/// and rocking lies at 0.6 of the axial resonance, ± 15 %. A user's own figure goes before its estimate, and a rocking
/// frequency follows the user's axial one.
/// @param width  [m] smaller side of the hole, > 0
/// @param mass   [kg] of the driver, > 0
/// @throws DomainError
[[nodiscard]] Basket complete_basket(const BasketGiven& given, double width, double mass);

/// Rocking that nobody measured: 0.6 of the axial resonance, its own ± 15 % independent of that one's range.
[[nodiscard]] Quantity rocking_estimate(const Quantity& axial_Hz);

/// Whether a basket's rocking frequency is that estimate, so that it follows the axial one.
[[nodiscard]] bool has_estimated_rocking(const Basket& basket);

/// Holes narrower than this [m] mostly hold tweeters, whose motor sits right behind a stiff plate: no basket is
/// assumed.
inline constexpr double least_basket_hole = 0.08;

/// "cast", "pressed steel", "polymer", or "not said".
[[nodiscard]] std::string basket_word(Basket::Kind kind);

} // namespace stillwall
