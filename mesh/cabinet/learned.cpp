#include "mesh/cabinet/learned.h"

#include "mesh/cabinet/basket_estimate.h"

#include <cmath>
#include <initializer_list>

namespace stillwall {
namespace {

void scale(const std::optional<LearnedMaterial::Factor>& factor, std::initializer_list<Quantity*> figures)
{
    if (!factor) return;
    const double reach = std::exp(learned_deviations * factor->error);
    for (Quantity* q : figures) {
        q->value *= factor->value;
        q->low = q->value / reach;
        q->high = q->value * reach;
        q->source = "learned from a measurement of this cabinet";
    }
}

} // namespace

void apply_learned(const LearnedMaterial& learned, Material& m)
{
    scale(learned.stiffness, {&m.E1, &m.E2, &m.G12});
    if (m.is_isotropic)
        scale(learned.stiffness, {&m.E3, &m.G13, &m.G23});
    else
        scale(learned.shear, {&m.G13, &m.G23});
    scale(learned.loss, {&m.eta, &m.eta2});
}

void apply_learned(const LearnedBasket& learned, Basket& basket)
{
    const bool rocking_follows = has_estimated_rocking(basket);
    scale(learned.motor_frequency, {&basket.axial_Hz});
    if (rocking_follows) basket.rocking_Hz = rocking_estimate(basket.axial_Hz);
}

} // namespace stillwall
