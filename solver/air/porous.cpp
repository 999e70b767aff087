#include "solver/air/porous.h"

#include "mesh/cabinet/error.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace stillwall::solver {

Fluid miki(double f, double sigma, const Air& air)
{
    if (!(f > 0) || !std::isfinite(f)) throw DomainError("frequency must be > 0 Hz, got " + std::to_string(f) + " Hz");
    if (!(sigma > 0) || !std::isfinite(sigma))
        throw DomainError("flow resistivity must be > 0 Pa·s/m², got " + std::to_string(sigma) + " Pa·s/m²");
    const double X = f / sigma, a = std::pow(X, -0.632), b = std::pow(X, -0.618);
    const std::complex<double> Z(1 + 0.070 * a, -0.107 * a), k(1 + 0.109 * b, -0.160 * b); // over those of air
    Fluid fluid = open_air(air);
    fluid.density *= Z * k;
    fluid.bulk *= Z / k;
    fluid.bulk.imag(std::max(0.0, fluid.bulk.imag()));
    return fluid;
}

Fluid open_air(const Air& air)
{
    return {air.density, air.bulk_modulus()};
}

} // namespace stillwall::solver
