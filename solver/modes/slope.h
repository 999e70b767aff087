#pragma once
// Derivatives of a lossy mode's frequency and loss factor.

#include "solver/modes/worth.h"
#include "solver/structure/energy.h"

namespace stillwall::solver {

/// What a slope needs of a mode: its eigenvalue, and how its stiffness changes with its own frequency.
struct LossyMode
{
    std::complex<double> lambda;        ///< [rad²/s²]
    std::complex<double> per_frequency; ///< φᵀ ∂K*/∂f φ [rad²/s² per Hz], 0 when no layer depends on frequency

    [[nodiscard]] double f_Hz() const;
    [[nodiscard]] double loss() const { return lambda.imag() / lambda.real(); }
};

/// First-order change of λ = (2πf)²(1 + iη) from explicit changes of stiffness and mass per unit of p, φᵀMφ = 1:
///     δλ = φᵀ δK* φ − λ φᵀ δM φ + (φᵀ ∂K*/∂f φ) δf
/// exact for complex shapes, because the pencil is symmetric: no derivative of φ enters.
/// @source Fox & Kapoor, AIAA J. 6 (1968) 2426, for the complex symmetric pencil
[[nodiscard]] Slope slope_of(const LossyMode& mode, std::complex<double> d_stiffness, std::complex<double> d_mass);

} // namespace stillwall::solver
