#pragma once
// The resonances of the cabinet at work: walls with the air as load, air with fillings, cones and ports.

#include "solver/drive/played.h"

namespace stillwall::solver::internal {

/// A resonance and its shape.
struct LoadedMode
{
    SoundMode mode;              ///< kind, name, frequency, Q, band
    std::complex<double> lambda; ///< [rad²/s²] under load
    double wood_loss = 0;        ///< of walls: loss factor of the boards by themselves
    double open_Hz = 0;          ///< of waves of the air: in the empty cabinet with rigid walls
    Eigen::VectorXcd y;          ///< shape in the wall or air basis, yᵀy = 1 or yᵀ(ΣV/K)y = 1 at its frequency
};

/// yᵀ ΔD y at a frequency [rad²/s²]: the air outside on a shape of the walls, and air inside, cones and ports
/// condensed.
/// @param Z  the outside's impedance there
/// @param answer  the inside's to wall_columns() times y
[[nodiscard]] std::complex<double> load_on(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z,
                                           const Eigen::VectorXcd& y, const Eigen::VectorXcd& pushes,
                                           const Eigen::VectorXcd& answer);

/// λ of a wall mode with everything else as load: λ + yᵀ ΔD y, ΔD the air outside, and air inside, cones and ports
/// condensed, at the mode's own frequency; first order, which neighbours nearer than the shift exceed. Modes of the
/// result within the range.
[[nodiscard]] std::vector<LoadedMode> wall_resonances(const Player& player, const Eigen::VectorXcd& lambda,
                                                      const std::vector<Mode>& modes, double f_from, double f_to);

/// Modes of the air with walls still: (G(ω) − λ V(ω)) y = 0 with everything taken at ω = √Re λ, by inverse iteration
/// from each mode of open air. Those with Q below 0.7 do not ring and are left out. Tunings by ports and passive
/// radiators come from each chamber's uniform pressure with driven cones held.
/// @param names  per column of AirBasis::mode_Hz
[[nodiscard]] std::vector<LoadedMode> air_resonances(const Player& player, const std::vector<std::string>& names,
                                                     double f_from, double f_to);

} // namespace stillwall::solver::internal
