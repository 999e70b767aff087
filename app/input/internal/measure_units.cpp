#include "app/input/internal/measure_units.h"

#include "mesh/cabinet/units.h"

#include <numbers>

namespace stillwall::app {
namespace {

constexpr double pound = 0.45359237; // [kg], exact by definition
constexpr double foot = 12 * units::inch;
constexpr double degree = std::numbers::pi / 180;
constexpr double cubic_inch = units::inch * units::inch * units::inch;

constexpr Unit ratio_units[] = {{"%", 0.01}};
constexpr Unit length_units[] = {{"mm", 1e-3},
                                 {"cm", 1e-2},
                                 {"m", 1},
                                 {"in", units::inch},
                                 {"\"", units::inch},
                                 {"inch", units::inch, false},
                                 {"inches", units::inch, false},
                                 {"millimetres", 1e-3, false},
                                 {"millimeters", 1e-3, false}};
constexpr Unit angle_units[] = {{"deg", degree}, {"rad", 1}, {"°", degree, false}};
constexpr Unit mass_units[] = {{"kg", 1},          {"g", 1e-3},           {"lb", pound},
                               {"oz", pound / 16}, {"lbs", pound, false}, {"KG", 1, false},
                               {"Kg", 1, false},   {"grams", 1e-3, false}};
constexpr Unit volume_units[] = {{"l", 1e-3},
                                 {"ml", 1e-6},
                                 {"cm3", 1e-6},
                                 {"m3", 1},
                                 {"in3", cubic_inch},
                                 {"L", 1e-3, false},
                                 {"cm³", 1e-6, false},
                                 {"m³", 1, false},
                                 {"litres", 1e-3, false},
                                 {"liters", 1e-3, false},
                                 {"litre", 1e-3, false},
                                 {"liter", 1e-3, false}};
constexpr Unit frequency_units[] = {
    {"Hz", 1}, {"kHz", 1e3}, {"hz", 1, false}, {"khz", 1e3, false}, {"KHz", 1e3, false}};
constexpr Unit modulus_units[] = {{"GPa", 1e9}, {"MPa", 1e6}, {"N/mm2", 1e6},
                                  {"kPa", 1e3}, {"Pa", 1},    {"N/mm²", 1e6, false}};
constexpr Unit density_units[] = {
    {"kg/m3", 1}, {"g/cm3", 1e3}, {"lb/ft3", pound / (foot * foot * foot)}, {"kg/m³", 1, false}, {"g/cm³", 1e3, false}};
constexpr Unit stiffness_units[] = {{"N/m", 1}, {"N/mm", 1e3}, {"kN/m", 1e3}, {"MN/m", 1e6}};
constexpr Unit line_stiffness_units[] = {{"N/mm2", 1e6}, {"MN/m2", 1e6},        {"kN/m2", 1e3},
                                         {"N/m2", 1},    {"N/mm²", 1e6, false}, {"MN/m²", 1e6, false}};
constexpr Unit bending_units[] = {{"N.m2", 1}, {"N m2", 1, false}, {"N·m²", 1, false}, {"N·m2", 1, false}};
constexpr Unit inertia_units[] = {{"kg.m2", 1},        {"kg.cm2", 1e-4},    {"g.cm2", 1e-7},
                                  {"kg m2", 1, false}, {"kg·m²", 1, false}, {"kg·m2", 1, false}};
// Nought of the scales: 273.15 K and 32 °F are 0 °C, exact by definition.
constexpr Unit temperature_units[] = {
    {"degC", 1}, {"C", 1}, {"degF", 5.0 / 9, true, -160.0 / 9}, {"K", 1, true, -273.15}, {"°C", 1, false}};
constexpr Unit area_units[] = {
    {"cm2", 1e-4},         {"mm2", 1e-6},        {"m2", 1},        {"in2", units::inch* units::inch},
    {"cm²", 1e-4, false},  {"mm²", 1e-6, false}, {"m²", 1, false}, {"cm^2", 1e-4, false},
    {"mm^2", 1e-6, false}, {"m^2", 1, false}};
constexpr Unit resistance_units[] = {
    {"ohm", 1}, {"Ω", 1, false}, {"Ohm", 1, false}, {"ohms", 1, false}, {"Ohms", 1, false}};
constexpr Unit inductance_units[] = {{"mH", 1e-3}, {"uH", 1e-6}, {"H", 1}, {"µH", 1e-6, false}, {"μH", 1e-6, false}};
constexpr Unit force_factor_units[] = {{"N/A", 1}, {"T.m", 1}, {"T m", 1, false}, {"Tm", 1, false}, {"T·m", 1, false}};
constexpr Unit compliance_units[] = {
    {"mm/N", 1e-3}, {"um/N", 1e-6}, {"m/N", 1}, {"µm/N", 1e-6, false}, {"μm/N", 1e-6, false}};
constexpr Unit mechanical_resistance_units[] = {
    {"kg/s", 1}, {"N.s/m", 1}, {"N s/m", 1, false}, {"Ns/m", 1, false}, {"N·s/m", 1, false}};
constexpr Unit flow_resistivity_units[] = {{"Pa.s/m2", 1},        {"kPa.s/m2", 1e3},    {"Pa s/m2", 1, false},
                                           {"Pa·s/m²", 1, false}, {"N.s/m4", 1, false}, {"N·s/m⁴", 1, false}};
constexpr Unit voltage_units[] = {{"V", 1}, {"mV", 1e-3}};
constexpr Unit time_units[] = {{"ms", 1e-3}, {"us", 1e-6}, {"s", 1}, {"µs", 1e-6, false}, {"μs", 1e-6, false}};
constexpr Unit level_units[] = {{"dB", 1}, {"db", 1, false}, {"dB SPL", 1, false}};

} // namespace

DimensionInfo dimension_info(Dimension dimension)
{
    switch (dimension) {
    case Dimension::Number:
        return {"a number", "0.3", {}};
    case Dimension::Ratio:
        return {"a ratio", "0.02 or 2 %", ratio_units};
    case Dimension::Length:
        return {"a length", "18 mm or 3/4 in", length_units};
    case Dimension::Angle:
        return {"an angle", "7 deg", angle_units};
    case Dimension::Mass:
        return {"a mass", "2.1 kg", mass_units};
    case Dimension::Volume:
        return {"a volume", "1.2 l", volume_units};
    case Dimension::Frequency:
        return {"a frequency", "1500 Hz", frequency_units};
    case Dimension::Modulus:
        return {"a modulus", "3.2 GPa", modulus_units};
    case Dimension::Density:
        return {"a density", "740 kg/m3", density_units};
    case Dimension::Stiffness:
        return {"a stiffness", "2e5 N/m", stiffness_units};
    case Dimension::LineStiffness:
        return {"a stiffness per metre", "50 N/mm2", line_stiffness_units};
    case Dimension::BendingStiffness:
        return {"a bending stiffness", "50 N.m2", bending_units};
    case Dimension::Inertia:
        return {"a moment of inertia", "0.01 kg.m2", inertia_units};
    case Dimension::Temperature:
        return {"a temperature", "20 degC", temperature_units};
    case Dimension::Area:
        return {"an area", "130 cm2", area_units};
    case Dimension::Resistance:
        return {"a resistance", "5.6 ohm", resistance_units};
    case Dimension::Inductance:
        return {"an inductance", "0.4 mH", inductance_units};
    case Dimension::ForceFactor:
        return {"a force factor", "6.5 N/A", force_factor_units};
    case Dimension::Compliance:
        return {"a compliance", "1.1 mm/N", compliance_units};
    case Dimension::MechanicalResistance:
        return {"a mechanical resistance", "1.2 kg/s", mechanical_resistance_units};
    case Dimension::FlowResistivity:
        return {"a flow resistivity", "5000 Pa.s/m2", flow_resistivity_units};
    case Dimension::Voltage:
        return {"a voltage", "2.83 V", voltage_units};
    case Dimension::Time:
        return {"a time", "0.1 ms", time_units};
    case Dimension::Level:
        return {"a level", "90 dB", level_units};
    }
    return {};
}

} // namespace stillwall::app
