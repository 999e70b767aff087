#pragma once
// The state of the air.

namespace stillwall {

/// Dry air at rest; unless said otherwise at 20 °C and 101.325 kPa.
struct Air
{
    double density = 1.204;     ///< ρ [kg/m³], > 0
    double sound_speed = 343.2; ///< c [m/s], > 0

    [[nodiscard]] constexpr double bulk_modulus() const { return density * sound_speed * sound_speed; } ///< ρc² [Pa]
};

/// c = 331.3 √(1 + T/273.15),  ρ = p / (R (T + 273.15)) with p = 101 325 Pa and R = 287.05 J/(kg K).
/// @param celsius  T [°C], −50 … 80
/// @throws DomainError outside that range
/// @source c at 0 °C: G. S. K. Wong, J. Acoust. Soc. Am. 79 (1986) 1359, 331.29 m/s, rounded; its growth with T and ρ
/// are the ideal gas's.
///         R: U.S. Standard Atmosphere 1976, from memory
[[nodiscard]] Air air_at(double celsius);

} // namespace stillwall
