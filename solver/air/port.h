#pragma once
// A port as a short line: mass, compliance, losses in the boundary layers at its wall, flares.

#include "mesh/cabinet/air.h"
#include "mesh/cabinet/cabinet.h"

#include <complex>
#include <vector>

namespace stillwall::solver {

/// Impedances of the line between its two ends, without the air beyond them; e^{+jωt}:
///     p_in = Z₁₁ U_in − Z₁₂ U_out,   p_out = Z₁₂ U_in − Z₂₂ U_out
/// U_in into the inner end, U_out out of the outer one [m³/s]. As f → 0 the line moves as one plug,
/// Z₁₁ − 2 Z₁₂ + Z₂₂ → jωρL/S + drag, and Z₁₁ → ρc²/(jω × its volume) when the outer end is shut.
struct PortLine
{
    std::complex<double> Z11, Z12, Z22; ///< [Pa·s/m³]
};

/// Pieces in a row: one for the throat, 16 for each flare, each a uniform line of its own ∫dx/S and ∫S dx. In a piece
/// of area S and perimeter P, with a = 2S/P and e^{+jωt},
///     ρ_eff = ρ/(1 − F(a√(jω/ν))),   1/K_eff = [1 + (γ − 1) F(a√(jω Pr/ν))]/(ρc²),   F(z) = 2 I₁(z)/(z I₀(z))
///     k = ω √(ρ_eff/K_eff),   Zc = √(ρ_eff K_eff)/S
/// exact for a round tube. In a wide one of any outline F → (1 − j) δ/a with δ = √(2ν/ω), so that
///     k = (ω/c)[1 + (1 − j)(δ/2a)(1 + (γ − 1)/√Pr)],   Zc = (ρc/S)[1 + (1 − j)(δ/2a)(1 − (γ − 1)/√Pr)]
/// Laminar and linear: no turbulence at high level. γ = 1.4, Pr = 0.71, ν by Sutherland's law at the temperature of the
/// air's sound speed.
/// @source C. Zwikker, C. W. Kosten, Sound Absorbing Materials (1949), round tube; wide limit: A. D. Pierce, Acoustics,
///         ch. 10; F. M. White, Viscous Fluid Flow, for Sutherland's figures (1.716·10⁻⁵ Pa·s at 273 K, 111 K); from
///         memory
class Port
{
public:
    /// @param length     [m] > 0, end to end
    /// @param area       of the throat [m²] > 0
    /// @param perimeter  of the throat [m], at least that of the circle of this area (0.1 % less passes: chords)
    /// @param flare      [m] rounding radius at both ends, 0 ≤ flare ≤ length/2: seen from the side the wall turns away
    /// in
    ///                   a quarter circle; at distance y outside the throat's wall S + P y + π y²
    /// @throws DomainError outside these ranges
    Port(double length, double area, double perimeter, double flare);

    /// @param f  [Hz] > 0
    /// @throws DomainError
    [[nodiscard]] PortLine at(double f, const Air& air) const;
    [[nodiscard]] double length() const { return length_; }
    [[nodiscard]] double area() const { return area_; } ///< of the throat [m²]
    /// ∫ dx/S along it [1/m]: acoustic mass over ρ
    [[nodiscard]] double mass_over_density() const;

private:
    struct Piece
    {
        double mass_over_density, volume; ///< ∫ dx/S [1/m], ∫ S dx [m³]
        double radius;                    ///< 2S/P [m]
    };
    double length_, area_;
    std::vector<Piece> pieces_; ///< from end to end
};

/// The port (or bare hole) in an opening: area and perimeter of the opening's outline, length as written or, without
/// one, the board's thickness; flare as written.
/// @throws DomainError when the flare is longer than half the port
[[nodiscard]] Port port_of(const Board& board, const Opening& opening);

} // namespace stillwall::solver
