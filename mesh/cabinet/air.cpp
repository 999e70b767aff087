#include "mesh/cabinet/air.h"

#include "mesh/cabinet/error.h"

#include <cmath>
#include <string>

namespace stillwall {

Air air_at(double celsius)
{
    constexpr double zero = 273.15, coldest = -50, hottest = 80;
    if (!(celsius >= coldest && celsius <= hottest))
        throw DomainError("temperature must lie between -50 and 80 °C, got " + std::to_string(celsius) + " °C");
    constexpr double pressure = 101325, gas_constant = 287.05;
    return {pressure / (gas_constant * (celsius + zero)), 331.3 * std::sqrt(1 + celsius / zero)};
}

} // namespace stillwall
