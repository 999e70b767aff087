// Numbers with units as people write them.

#include "app/input/internal/measure.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall::app;
using Catch::Matchers::WithinRel;

namespace {

double good(std::string_view text, Dimension dimension, LengthUnit unit = LengthUnit::Millimetre)
{
    const Measure read = parse_measure(text, dimension, unit);
    CAPTURE(text, read.problem);
    REQUIRE(read.problem.empty());
    return read.value;
}

std::string problem(std::string_view text, Dimension dimension, LengthUnit unit = LengthUnit::Millimetre)
{
    return parse_measure(text, dimension, unit).problem;
}

} // namespace

TEST_CASE("lengths in every spelling", "[app][input][measure]")
{
    struct Case
    {
        const char* text;
        double metres;
    };
    // Reference: 1 in = 25.4 mm exactly (international inch, 1959); the rest is decimal shifting.
    // Tolerance: 4 rounding errors of double precision.
    const Case cases[] = {{"18", 0.018},          {"18 mm", 0.018},       {"18mm", 0.018},
                          {"1.8 cm", 0.018},      {"0.018 m", 0.018},     {"3/4 in", 0.01905},
                          {"11/16\"", 0.0174625}, {"1 1/2 in", 0.0381},   {"5.5 in", 0.1397},
                          {" 18 mm ", 0.018},     {"1e1", 0.010},         {".5", 0.0005},
                          {"+2", 0.002},          {"-40 mm", -0.040},     {"0", 0},
                          {"-1 1/2 in", -0.0381}, {"10/16 in", 0.015875}, {"1/1 in", 0.0254},
                          {"4-1/4 in", 0.10795},  {"8-1/4\"", 0.20955},   {"2 inches", 0.0508}};
    for (const Case& c : cases) {
        CAPTURE(c.text);
        CHECK_THAT(good(c.text, Dimension::Length), WithinRel(c.metres, 1e-15));
    }
    CHECK_THAT(good("3/4", Dimension::Length, LengthUnit::Inch), WithinRel(0.01905, 1e-15));
    CHECK_THAT(good("3", Dimension::Length, LengthUnit::Centimetre), WithinRel(0.03, 1e-15));
}

TEST_CASE("other dimensions in their units", "[app][input][measure]")
{
    // Reference: SI prefixes; 1 lb = 0.45359237 kg and 1 ft = 0.3048 m exactly.
    // Tolerance: rounding of a product of a few doubles.
    constexpr double eps = 1e-14;
    CHECK_THAT(good("90 deg", Dimension::Angle), WithinRel(std::numbers::pi / 2, eps));
    CHECK_THAT(good("0.1 rad", Dimension::Angle), WithinRel(0.1, eps));
    CHECK_THAT(good("350 g", Dimension::Mass), WithinRel(0.35, eps));
    CHECK_THAT(good("2 lb", Dimension::Mass), WithinRel(0.90718474, eps));
    CHECK_THAT(good("4 lb 3 oz", Dimension::Mass), WithinRel(4.1875 * 0.45359237, eps));
    CHECK_THAT(good("1 lb 2.5 oz", Dimension::Mass), WithinRel((1 + 2.5 / 16) * 0.45359237, eps));
    CHECK_THAT(good("5.8 ohms", Dimension::Resistance), WithinRel(5.8, eps));
    CHECK_THAT(good("12 litres", Dimension::Volume), WithinRel(0.012, eps));
    CHECK_THAT(good("16 oz", Dimension::Mass), WithinRel(0.45359237, eps));
    CHECK_THAT(good("1.5 kHz", Dimension::Frequency), WithinRel(1500.0, eps));
    CHECK_THAT(good("3.2 GPa", Dimension::Modulus), WithinRel(3.2e9, eps));
    CHECK_THAT(good("620 N/mm2", Dimension::Modulus), WithinRel(620e6, eps));
    CHECK_THAT(good("0.74 g/cm3", Dimension::Density), WithinRel(740.0, eps));
    CHECK_THAT(good("1 lb/ft3", Dimension::Density), WithinRel(0.45359237 / (0.3048 * 0.3048 * 0.3048), eps));
    CHECK_THAT(good("200 N/mm", Dimension::Stiffness), WithinRel(2e5, eps));
    CHECK_THAT(good("50 N.m2", Dimension::BendingStiffness), WithinRel(50.0, eps));
    CHECK_THAT(good("50 N·m²", Dimension::BendingStiffness), WithinRel(50.0, eps));
    CHECK_THAT(good("120 kg.cm2", Dimension::Inertia), WithinRel(0.012, eps));
    CHECK_THAT(good("1.2 l", Dimension::Volume), WithinRel(0.0012, eps));
    CHECK_THAT(good("100 in3", Dimension::Volume), WithinRel(100 * 0.0254 * 0.0254 * 0.0254, eps));
    CHECK_THAT(good("2 %", Dimension::Ratio), WithinRel(0.02, eps));
    CHECK_THAT(good("0.02", Dimension::Ratio), WithinRel(0.02, eps));
    CHECK_THAT(good("50 N/mm2", Dimension::LineStiffness), WithinRel(5e7, eps));
    CHECK_THAT(good("2 MN/m2", Dimension::LineStiffness), WithinRel(2e6, eps));
    CHECK_THAT(good("300 N/m2", Dimension::LineStiffness), WithinRel(300.0, eps));
    CHECK_THAT(good("130 cm2", Dimension::Area), WithinRel(0.013, eps));
    CHECK_THAT(good("13000 mm²", Dimension::Area), WithinRel(0.013, eps));
    CHECK_THAT(good("2 in2", Dimension::Area), WithinRel(2 * 0.0254 * 0.0254, eps));
    CHECK_THAT(good("5.6 ohm", Dimension::Resistance), WithinRel(5.6, eps));
    CHECK_THAT(good("5.6 Ω", Dimension::Resistance), WithinRel(5.6, eps));
    CHECK_THAT(good("0.4 mH", Dimension::Inductance), WithinRel(0.4e-3, eps));
    CHECK_THAT(good("400 µH", Dimension::Inductance), WithinRel(0.4e-3, eps));
    CHECK_THAT(good("6.5 T.m", Dimension::ForceFactor), WithinRel(6.5, eps));
    CHECK_THAT(good("6.5 N/A", Dimension::ForceFactor), WithinRel(6.5, eps));
    CHECK_THAT(good("1.1 mm/N", Dimension::Compliance), WithinRel(1.1e-3, eps));
    CHECK_THAT(good("800 um/N", Dimension::Compliance), WithinRel(0.8e-3, eps));
    CHECK_THAT(good("1.2 N.s/m", Dimension::MechanicalResistance), WithinRel(1.2, eps));
    CHECK_THAT(good("5 kPa.s/m2", Dimension::FlowResistivity), WithinRel(5000.0, eps));
    CHECK_THAT(good("5000 N.s/m4", Dimension::FlowResistivity), WithinRel(5000.0, eps));
    CHECK_THAT(good("500 mV", Dimension::Voltage), WithinRel(0.5, eps));
    CHECK_THAT(good("0.1 ms", Dimension::Time), WithinRel(1e-4, eps));
    CHECK_THAT(good("50 µs", Dimension::Time), WithinRel(5e-5, eps));
    CHECK_THAT(good("-6 dB", Dimension::Level), WithinRel(-6.0, eps));
    // Nought needs no unit, nor has it a sign that could matter.
    CHECK(good("0", Dimension::Angle) == 0);
    CHECK(good("0", Dimension::Mass) == 0);
}

TEST_CASE("temperatures have a zero of their own", "[app][input][measure]")
{
    // Reference: 0 °C = 32 °F = 273.15 K exactly. Tolerance: round-off of numbers up to 300.
    constexpr double eps = 1e-12;
    using Catch::Matchers::WithinAbs;
    CHECK_THAT(good("20 degC", Dimension::Temperature), WithinAbs(20, eps));
    CHECK_THAT(good("-5 C", Dimension::Temperature), WithinAbs(-5, eps));
    CHECK_THAT(good("21 °C", Dimension::Temperature), WithinAbs(21, eps));
    CHECK_THAT(good("68 degF", Dimension::Temperature), WithinAbs(20, eps));
    CHECK_THAT(good("-40 degF", Dimension::Temperature), WithinAbs(-40, eps));
    CHECK_THAT(good("293.15 K", Dimension::Temperature), WithinAbs(20, eps));
    // A bare 0 would be a guess.
    CHECK(problem("0", Dimension::Temperature) ==
          "needs a unit, one of degC, C, degF, K; for example 20 degC, got '0'");
    CHECK(format_measure(-20, Dimension::Temperature, LengthUnit::Inch) == "-20 degC");
}

TEST_CASE("what is not a number says why", "[app][input][measure]")
{
    CHECK(problem("010", Dimension::Length) == "number with a leading zero, write 10, got '010'");
    CHECK(problem("-00.5", Dimension::Length) == "number with a leading zero, write 0.5, got '-00.5'");
    CHECK(problem("00", Dimension::Length) == "number with a leading zero, write 0, got '00'");
    CHECK(problem("1,5", Dimension::Length) == "comma inside a number, write the decimal point as 1.5, got '1,5'");
    CHECK(problem("1_000", Dimension::Length) == "write the digits of a number without separators, got '1_000'");
    CHECK(problem("0x1f", Dimension::Number) == "numbers are decimal here, got '0x1f'");
    CHECK(problem(".nan", Dimension::Mass) == "must be a finite number, got '.nan'");
    CHECK(problem("-.Inf", Dimension::Mass) == "must be a finite number, got '-.Inf'");
    CHECK(problem("1e999", Dimension::Number) == "number too large or too small, got '1e999'");
    CHECK(problem("1e305 GPa", Dimension::Modulus) == "number too large, got '1e305 GPa'");
    CHECK(problem("thick", Dimension::Length) == "must be a length such as 18 mm or 3/4 in, got 'thick'");
    CHECK(problem("", Dimension::Length) == "must be a length such as 18 mm or 3/4 in, got ''");
    CHECK(problem("-", Dimension::Length) == "must be a length such as 18 mm or 3/4 in, got '-'");
    CHECK(problem(".", Dimension::Length) == "must be a length such as 18 mm or 3/4 in, got '.'");
}

TEST_CASE("wrong units name the possible ones", "[app][input][measure]")
{
    CHECK(problem("5 kg", Dimension::Length) ==
          "'kg' is not a unit of a length, possible: mm, cm, m, in, \", got '5 kg'");
    CHECK(problem("2.1", Dimension::Mass) == "needs a unit, one of kg, g, lb, oz; for example 2.1 kg, got '2.1'");
    CHECK(problem("2.1 mm", Dimension::Number) == "takes a bare number without a unit, such as 0.3, got '2.1 mm'");
    CHECK(problem("7 Deg", Dimension::Angle) == "'Deg' is not a unit of an angle, possible: deg, rad, got '7 Deg'");
}

TEST_CASE("fractions are whole numbers over whole numbers, with a unit", "[app][input][measure]")
{
    for (const char* text : {"3/0 in", "1.5/2 in", "1 01/2 in", "1 2", "3/1000 in", "1 1/0 in"}) {
        CAPTURE(text);
        CHECK(problem(text, Dimension::Length) == std::string("fractions look like 3/4 or 1 1/2, got '") + text + "'");
    }
    CHECK(problem("3/4", Dimension::Length) == "a fraction needs its unit, write 3/4 in");
    CHECK_FALSE(problem("3/4 kg", Dimension::Mass).empty());
}

TEST_CASE("limits are told in the file's own unit", "[app][input][measure]")
{
    CHECK(format_measure(0.018, Dimension::Length, LengthUnit::Millimetre) == "18 mm");
    CHECK(format_measure(0.0254, Dimension::Length, LengthUnit::Inch) == "1 in");
    CHECK(format_measure(0.0254, Dimension::Length, LengthUnit::Centimetre) == "2.54 cm");
    CHECK(format_measure(std::numbers::pi / 6, Dimension::Angle, LengthUnit::Inch) == "30 deg");
    CHECK(format_measure(5e-5, Dimension::Mass, LengthUnit::Inch) == "0.05 g");
    CHECK(format_measure(1e-7, Dimension::Volume, LengthUnit::Inch) == "0.1 ml");
    CHECK(format_measure(0, Dimension::Mass, LengthUnit::Inch) == "0 kg");
    CHECK(format_measure(1e9, Dimension::Modulus, LengthUnit::Inch) == "1 GPa");
    CHECK(format_measure(0.3, Dimension::Number, LengthUnit::Inch) == "0.3");
}
