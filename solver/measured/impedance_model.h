#pragma once
// The impedance of a driver in few figures, and its fit to a sweep.
//
//     Z(f) = Re + K (jω)^n + Σ_s 1/(1/R_s + 1/(jω L_s)) + Σ_k (a_k + j b_k f_k/f) / (1 + j Q_k (f/f_k − f_k/f)),   Im K
//     (jω₀)^n = ω₀ Le, ω₀ = 2π · 1 kHz
//
// Each resonance is the general one of second order, (α s + β)/(s² + s ω_k/Q_k + ω_k²). One with b = 0 is a driver in
// free air or in a closed box: a = Re Qms/Qes, Q = Qms. Two are exactly a vented box. Small ones are what else takes
// part: walls, air, the cone itself. The coil is either the power law, or, where a sweep tells that, a ladder: n = 1
// and two steps. Either is passive: Re, Le, R_s, L_s > 0, 0 < n ≤ 1.

#include "solver/measured/strip.h" // Known
#include "solver/measured/sweep.h"

#include <complex>
#include <optional>

namespace stillwall::solver {

/// A resonance in an impedance.
struct Hump
{
    double f_Hz = 0;
    double Q = 0;
    std::complex<double> ohm; ///< a + j b: what it adds at its own frequency

    [[nodiscard]] std::complex<double> at(double f) const; ///< [ohm]
};

/// A step of a coil's ladder: an inductance beside the resistance of what its field drives currents in.
struct CoilStep
{
    double R = 0, L = 0; ///< [ohm], [H]

    [[nodiscard]] std::complex<double> at(double f) const; ///< [ohm]
};

struct ImpedanceModel
{
    double Re = 0;          ///< [ohm]
    double Le = 0;          ///< [H] at 1 kHz
    double Le_exponent = 1; ///< n
    std::vector<Hump> humps;
    std::vector<CoilStep> steps; ///< of a ladder, by falling corner frequency; empty: a power law

    [[nodiscard]] std::complex<double> coil(double f_Hz) const; ///< [ohm] what is not Re and no hump
    [[nodiscard]] std::complex<double> at(double f_Hz) const;   ///< [ohm]
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
    Eigen::MatrixXd covariance; ///< in the order Re, Le, n, per hump ln f, ln Q, a, b, per step ln R, ln L; scaled up
                                ///< by a misfit over 1
    Eigen::VectorXd noise;      ///< [ohm] standard deviation of the sweep's scatter, per frequency and component
    double misfit = 0;          ///< median of |residual| over what the noise alone would leave
};

/// Weighted least squares on the complex curve (on |Z| when there is no phase), Levenberg–Marquardt from a start found
/// by scanning; points far off (small resonances, pick-up) count less and less (weights of Student's t). A ladder is
/// taken where the power law leaves over 1.3 times the noise and the ladder a fifth less than it.
/// @param Re  [ohm] by a meter, > 0: held; nothing: fitted
/// @throws DomainError  too few points, no hump in the range, a Re that is no resistance or lies above the least |Z|:
/// one sentence for the user
[[nodiscard]] ImpedanceFit fit_smooth(const Sweep& sweep, BoxKind kind = BoxKind::Unknown,
                                      std::optional<double> Re = {});

/// Standard deviation of a sweep's point-to-point scatter per frequency [ohm, per component]: median of what a cubic
/// through the four neighbours leaves, over 31 points; blind to what is smooth over five points.
[[nodiscard]] Eigen::VectorXd sweep_noise(const Sweep& sweep);

} // namespace stillwall::solver
