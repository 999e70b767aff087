#include "mesh/cabinet/basket_estimate.h"

#include "mesh/cabinet/error.h"

#include <cmath>

namespace stillwall {
namespace {

using Kind = Basket::Kind;

struct Three
{
    double low, typical, high;
};

/// Of a driver in a hole of 150 mm, weighing 2 kg.
struct Usual
{
    Three rim_share, rim_EI, axial_Hz, loss;
};

Usual usual(Kind kind)
{
    switch (kind) {
    case Kind::Cast:
        return {{0.10, 0.15, 0.20}, {8, 15, 30}, {700, 900, 1200}, {0.005, 0.010, 0.03}};
    case Kind::PressedSteel:
        return {{0.10, 0.15, 0.20}, {0.5, 1.6, 5}, {450, 550, 650}, {0.005, 0.012, 0.03}};
    case Kind::Polymer:
        return {{0.05, 0.10, 0.15}, {0.2, 0.8, 3}, {300, 480, 750}, {0.015, 0.035, 0.08}};
    case Kind::Untold:
        break;
    }
    return {{0.10, 0.15, 0.20}, {0.5, 4, 30}, {450, 730, 1200}, {0.005, 0.012, 0.03}};
}

Quantity estimate(const Three& three, double factor)
{
    return {factor * three.typical, factor * three.low, factor * three.high, "estimated from size and mass",
            "from memory"};
}

constexpr const char* rocking_source = "0.6 of the axial resonance";

} // namespace

Quantity rocking_estimate(const Quantity& axial_Hz)
{
    constexpr double share = 0.6, spread = 0.15;
    const auto times = [&](double end) { return std::exp(std::hypot(std::log(end / axial_Hz.value), spread)); };
    const double value = share * axial_Hz.value;
    return {value, value / times(axial_Hz.low), value * times(axial_Hz.high), rocking_source, "from memory"};
}

bool has_estimated_rocking(const Basket& basket)
{
    return basket.rocking_Hz.source == rocking_source;
}

Basket complete_basket(const BasketGiven& given, double width, double mass)
{
    if (!(width > 0 && mass > 0)) throw DomainError("basket: hole and mass must be above 0");
    constexpr double width_0 = 0.15, mass_0 = 2;
    const double size = width / width_0;
    const Usual u = usual(given.kind);
    Basket basket;
    basket.kind = given.kind;
    basket.rim_share = given.rim_share.value_or(estimate(u.rim_share, 1));
    basket.rim_EI = given.rim_EI.value_or(estimate(u.rim_EI, size * size));
    basket.axial_Hz = given.axial_Hz.value_or(estimate(u.axial_Hz, std::sqrt(size * mass_0 / mass)));
    basket.rocking_Hz = given.rocking_Hz.value_or(rocking_estimate(basket.axial_Hz));
    basket.loss = given.loss.value_or(estimate(u.loss, 1));
    return basket;
}

std::string basket_word(Kind kind)
{
    switch (kind) {
    case Kind::Cast:
        return "cast";
    case Kind::PressedSteel:
        return "pressed steel";
    case Kind::Polymer:
        return "polymer";
    case Kind::Untold:
        break;
    }
    return "not said";
}

} // namespace stillwall
