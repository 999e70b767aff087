#include "solver/measured/impedance_model.h"

#include "mesh/cabinet/lossy_coil.h"

#include <numbers>

namespace stillwall::solver {

std::complex<double> Hump::at(double f) const
{
    const std::complex<double> j(0, 1);
    return (ohm.real() + j * ohm.imag() * f_Hz / f) / (1.0 + j * Q * (f / f_Hz - f_Hz / f));
}

std::complex<double> CoilStep::at(double f) const
{
    return 1.0 / (1 / R + 1.0 / std::complex<double>(0, 2 * std::numbers::pi * f * L));
}

std::complex<double> ImpedanceModel::coil(double f_Hz) const
{
    std::complex<double> Z = Le * lossy_coil(f_Hz, Le_exponent);
    for (const CoilStep& step : steps) Z += step.at(f_Hz);
    return Z;
}

std::complex<double> ImpedanceModel::at(double f_Hz) const
{
    std::complex<double> Z = Re + coil(f_Hz);
    for (const Hump& hump : humps) Z += hump.at(f_Hz);
    return Z;
}

Eigen::VectorXcd ImpedanceModel::at(const std::vector<double>& f_Hz) const
{
    Eigen::VectorXcd Z(static_cast<Eigen::Index>(f_Hz.size()));
    for (std::size_t i = 0; i < f_Hz.size(); ++i) Z[static_cast<Eigen::Index>(i)] = at(f_Hz[i]);
    return Z;
}

} // namespace stillwall::solver
