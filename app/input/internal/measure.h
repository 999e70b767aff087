#pragma once
// Numbers with units as people write them: "18", "18 mm", "3/4 in", "1 1/2 in", "2.1 kg", "3 %".

#include <string>
#include <string_view>

namespace stillwall::app {

/// What a number measures; decides which units are possible.
enum class Dimension
{
    Number, ///< a bare number
    Ratio,  ///< [-], also written in %
    Length,
    Angle,
    Mass,
    Volume,
    Frequency,
    Modulus,          ///< pressure
    Density,          ///< mass per volume
    Stiffness,        ///< force per length
    LineStiffness,    ///< [N/m per metre of line] = [N/m²]
    BendingStiffness, ///< [N·m²]
    Inertia,          ///< [kg·m²]
    Temperature,      ///< [°C]
    Area,
    Resistance,           ///< [ohm]
    Inductance,           ///< [H]
    ForceFactor,          ///< [N/A] = [T·m]
    Compliance,           ///< [m/N]
    MechanicalResistance, ///< [kg/s] = [N·s/m]
    FlowResistivity,      ///< [Pa·s/m²]
    Voltage,              ///< [V]
    Time,                 ///< [s]
    Level                 ///< [dB]
};

/// The unit of a length written without one.
enum class LengthUnit
{
    Millimetre,
    Centimetre,
    Inch
};

/// Inclusive limits in SI units.
struct Limits
{
    double low = 0;
    double high = 0;
};

/// Outcome of parse_measure(): a finite value in SI units, or one sentence on what is wrong.
struct Measure
{
    double value = 0;
    std::string problem; ///< empty when the value is good
};

/// Reads one number with its unit.
/// Only lengths, ratios and bare numbers may come without a unit; a bare 0 is good for everything but a temperature.
[[nodiscard]] Measure parse_measure(std::string_view text, Dimension dimension, LengthUnit default_unit);

/// The value in the unit people use, e.g. "18 mm", or where that makes an odd number in another; lengths in `unit`.
[[nodiscard]] std::string format_measure(double value_si, Dimension dimension, LengthUnit unit);

} // namespace stillwall::app
