#include "solver/modes/slope.h"

#include <cmath>
#include <numbers>

namespace stillwall::solver {

double LossyMode::f_Hz() const
{
    return std::sqrt(lambda.real()) / (2 * std::numbers::pi);
}

Slope slope_of(const LossyMode& mode, std::complex<double> d_stiffness, std::complex<double> d_mass)
{
    const std::complex<double> explicit_change = d_stiffness - mode.lambda * d_mass;
    const double f_per_lambda = mode.f_Hz() / (2 * mode.lambda.real()); // df = f dRe λ / (2 Re λ)
    const double d_re = explicit_change.real() / (1 - mode.per_frequency.real() * f_per_lambda);
    const std::complex<double> d_lambda = explicit_change + mode.per_frequency * f_per_lambda * d_re;
    return {d_lambda.real() / (2 * mode.lambda.real()),
            (d_lambda.imag() - mode.loss() * d_lambda.real()) / mode.lambda.real()};
}

} // namespace stillwall::solver
