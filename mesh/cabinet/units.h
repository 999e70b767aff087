#pragma once
// SI inside, always. These constants are for the edge (reader, printers) and for tests.

namespace stillwall::units {

inline constexpr double mm = 1e-3;      ///< [m]
inline constexpr double inch = 25.4e-3; ///< [m], exact by definition
inline constexpr double litre = 1e-3;   ///< [m³]
inline constexpr double GPa = 1e9;      ///< [Pa]
inline constexpr double MPa = 1e6;      ///< [Pa]

} // namespace stillwall::units
