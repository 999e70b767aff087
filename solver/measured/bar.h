#pragma once
// Formulas of a straight bar of rectangular section that rings freely, for turning what was measured on it into moduli.
// Plain values in and out, SI units. The thickness is the side along which the bar bends.

#include <optional>

namespace stillwall::solver {

/// The part of the bar that vibrates.
struct Bar
{
    double length = 0;    ///< [m], > 0
    double width = 0;     ///< [m], > 0
    double thickness = 0; ///< [m], > 0
    double mass = 0;      ///< [kg], > 0
};

enum class BarEnds
{
    FreeFree,
    ClampedFree
};

/// Shear correction factor of a rectangular section, used throughout. 5/6 makes the shear energy that of the parabolic
/// shear stress; Cowper's 10 (1 + ν) / (12 + 11 ν) differs by 2 % for ν = 0.3 (J. Appl. Mech. 33 (1966) 335).
inline constexpr double shear_correction = 5.0 / 6.0;

inline constexpr int highest_bar_mode = 6;

/// b_n of ω = (b_n / L²) √(E I / (ρ A)): exact solution of Timoshenko's beam with shear and rotary inertia.
/// Without both, √b_n = 4.7300 (free-free, n = 1) or 1.8751 (clamped-free, n = 1).
///
/// @param mode                   n, 1 to highest_bar_mode, rigid motions not counted
/// @param thickness_over_length  t/L [-], in [0, 0.25]
/// @param E_over_G               Young's modulus over the shear modulus through the thickness [-], in [0, 1000]
/// @throws DomainError  outside these ranges, or when the mode would lie above the frequency at which the theory's
/// second kind of
///                      wave begins (ω² = k G A / (ρ I))
/// @source Timoshenko, Phil. Mag. 41 (1921) 744; equations of free and clamped ends derived anew in bar.cpp
[[nodiscard]] double bending_number(BarEnds ends, int mode, double thickness_over_length, double E_over_G);

/// Young's modulus [Pa] of a bar whose n-th bending mode rings at f [Hz]: E = ω² L³ m / (I b_n²), I = width t³ / 12.
/// @throws DomainError  as bending_number()
[[nodiscard]] double bending_modulus(const Bar& bar, BarEnds ends, int mode, double f, double E_over_G);

/// The same by the formula of ASTM E1876 for the first bending mode of a free bar, which supposes an isotropic bar:
/// E = 0.9465 (m f² / b) (L/t)³ T1. Coefficients from memory; they agree with bending_number() to 2e-4 at t/L = 0.1.
/// @param nu  Poisson's ratio [-]
[[nodiscard]] double astm_bending_modulus(const Bar& bar, double f, double nu);
/// T1 of that formula [-], the share of shear and rotary inertia.
[[nodiscard]] double astm_bending_factor(double thickness_over_length, double nu);

/// β of the torsion constant J = β b t³ of a rectangle b × t, from Saint-Venant's series; exact for every ratio > 0.
/// In an orthotropic bar G J = G_b b t³ β((b/t) √(G_t / G_b)), G_b of shear in the plane of the wide side, G_t of shear
/// through the thickness.
/// @source Timoshenko & Goodier, Theory of Elasticity, art. 109 (from memory); orthotropic by stretching the width
/// (derived)
[[nodiscard]] double torsion_constant(double width_over_thickness);

/// In-plane shear modulus [Pa] of a free bar whose n-th torsion mode rings at f [Hz]: Saint-Venant torsion with the
/// bending of the section's warping (Γ = b³ t³ / 144) and its inertia, exact for free ends.
/// @param E    Young's modulus along the bar [Pa]
/// @param G_t  shear modulus through the thickness [Pa]; nothing: the same as the one sought
/// @throws DomainError  when no modulus gives so high a frequency with this G_t
/// @source Vlasov's theory of thin-walled bars (from memory), ends derived anew in bar.cpp
[[nodiscard]] double torsion_modulus(const Bar& bar, int mode, double f, double E, std::optional<double> G_t);

/// The same by ASTM E1876 for the first torsion mode, isotropic: G = (4 L m f² / (b t)) B / (1 + A). Coefficients from
/// memory.
[[nodiscard]] double astm_torsion_modulus(const Bar& bar, double f);

/// Apparent modulus [Pa] of three-point bending as in EN 310: E = l³ ΔF / (4 b t³ Δa); shear still counted as bending.
/// @param span   l [m];  @param slope  ΔF/Δa [N/m]
[[nodiscard]] double three_point_modulus(double span, double width, double thickness, double slope);
/// Deflection by shear over that by bending in the same test [-]: 1.2 (E/G) (t/l)².
[[nodiscard]] double three_point_shear_share(double thickness_over_span, double E_over_G);

/// Loss factor [-] of a free decay that drops by `drop_dB` in `seconds`: η = drop ln 10 / (20 π f seconds); 2.2 / (f
/// T60) for 60 dB.
[[nodiscard]] double loss_of_decay(double f, double drop_dB, double seconds);
/// Loss factor from the logarithmic decrement δ of one period: η = δ / π.
[[nodiscard]] double loss_of_decrement(double decrement);
/// Loss factor from the width of the resonance 3 dB below its top: η = Δf / f.
[[nodiscard]] double loss_of_bandwidth(double f, double bandwidth);

} // namespace stillwall::solver
