#pragma once
// The impedance of a driver in few figures, and its fit to a sweep.
//
//     Z(f) = Re + K (jω)^n + Σ_k (a_k + j b_k f_k/f) / (1 + j Q_k (f/f_k − f_k/f)),   Im K (jω₀)^n = ω₀ Le, ω₀ = 2π · 1
//     kHz
//
// Each resonance is the general one of second order, (α s + β)/(s² + s ω_k/Q_k + ω_k²). One with b = 0 is a driver in
// free air or in a closed box: a = Re Qms/Qes, Q = Qms. Two are exactly a vented box. Small ones are what else takes
// part: walls, air, the cone itself.

#include "solver/measured/strip.h" // Known
#include "solver/measured/sweep.h"

#include <complex>

namespace stillwall::solver {

/// A resonance in an impedance.
struct Hump
{
    double f_Hz = 0;
    double Q = 0;
    std::complex<double> ohm; ///< a + j b: what it adds at its own frequency

    [[nodiscard]] std::complex<double> at(double f) const; ///< [ohm]
};

struct ImpedanceModel
{
    double Re = 0;          ///< [ohm]
    double Le = 0;          ///< [H] at 1 kHz
    double Le_exponent = 1; ///< n
    std::vector<Hump> humps;

    [[nodiscard]] std::complex<double> at(double f_Hz) const; ///< [ohm]
    [[nodiscard]] Eigen::VectorXcd at(const std::vector<double>& f_Hz) const;
};

/// How many humps the driver's own smooth curve has.
enum class BoxKind
{
    Unknown, ///< decided by the sweep
    OneHump, ///< free air, closed box
    TwoHumps ///< vented box, passive radiator
};

struct ImpedanceFit
{
    BoxKind kind = BoxKind::OneHump; ///< as found
    /// The driver's humps ascending in frequency; of a leaky closed box a term of Q under 0.7 after the one hump.
    ImpedanceModel model;
    Eigen::MatrixXd
        covariance;        ///< in the order Re, Le, n, then per hump ln f, ln Q, a, b; scaled up by a misfit over 1
    Eigen::VectorXd noise; ///< [ohm] standard deviation of the sweep's scatter, per frequency and component
    double misfit = 0;     ///< median of |residual| over what the noise alone would leave
};

/// Weighted least squares on the complex curve (on |Z| when there is no phase), Levenberg–Marquardt from a start found
/// by scanning; points far off (small resonances, pick-up) count less and less (weights of Student's t).
/// @throws DomainError  too few points, no hump in the range; one sentence for the user
[[nodiscard]] ImpedanceFit fit_smooth(const Sweep& sweep, BoxKind kind = BoxKind::Unknown);

/// Standard deviation of a sweep's point-to-point scatter per frequency [ohm, per component]: median of what a cubic
/// through the four neighbours leaves, over 31 points; blind to what is smooth over five points.
[[nodiscard]] Eigen::VectorXd sweep_noise(const Sweep& sweep);

} // namespace stillwall::solver
