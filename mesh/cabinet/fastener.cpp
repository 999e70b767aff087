#include "mesh/cabinet/fastener.h"

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/units.h"

#include <cmath>

namespace stillwall {

double screw_shear_stiffness(double rho, double d)
{
    if (!(rho > 0) || !(d > 0)) throw DomainError("a screw's stiffness needs density and diameter greater than 0");
    const double K_N_per_mm = std::pow(rho, 1.5) * (d / units::mm) / 23;
    return K_N_per_mm / units::mm;
}

} // namespace stillwall
