#include "solver/drive/air_band.h"

#include "solver/modes/sensitivity.h"

#include <cmath>

namespace stillwall::solver {

FrequencyBand air_band(double f_Hz, double f_open_Hz, const AirFineness& fineness)
{
    constexpr double kelvin = 273.15, typical = 20, cold = 15, warm = 30; // [°C]
    constexpr double sizes = 0.004, at_eight_nodes = 0.0023, factor = 1.6;
    const auto by_temperature = [](double celsius) { return std::log((kelvin + celsius) / (kelvin + typical)) / 2; };
    const double mesh = at_eight_nodes * std::pow(8 * fineness.spacing * f_Hz / fineness.c, 4);
    const double filling = (factor - 1) * std::log(f_Hz / f_open_Hz);
    const double down = std::hypot(std::hypot(by_temperature(cold), sizes), std::hypot(mesh, filling));
    const double up = std::hypot(by_temperature(warm), sizes, filling);
    return {f_Hz * std::exp(-down), f_Hz * std::exp(up)};
}

double deviation_of(const FrequencyBand& band)
{
    return std::log(band.high_Hz / band.low_Hz) / (2 * range_deviations);
}

} // namespace stillwall::solver
