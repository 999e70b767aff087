#include "solver/measured/internal/beam_theory.h"

#include <cmath>
#include <numbers>

namespace stillwall::solver {

BeamTheory BeamTheory::moved(double errors) const
{
    BeamTheory next = *this;
    next.share += errors * share_error;
    next.inertia += errors * inertia_error;
    return next;
}

double BeamTheory::rise(BarEnds ends, int mode, double thickness_over_length, double E_over_G) const
{
    const double kt = std::sqrt(bending_number(ends, mode, 0, 0)) * thickness_over_length;
    const double a = 0.5 * kt * std::sqrt(E_over_G);
    constexpr double series = 0.1; // below, r − 1 = a⁴/525 to 1e-6, and the quotient is all round-off
    const double r = a < series ? 1 + std::pow(a, 4) / 525 : (1 - std::tanh(a) / a) * (1 + 0.4 * a * a) / (a * a / 3);
    return 1 + share * (std::sqrt(r) - 1) + inertia * kt * kt;
}

} // namespace stillwall::solver
