#pragma once
// Numbers as people read them: the user's units, rounded to what the figure is worth.

#include <string>

namespace stillwall::app {

/// Rounded to `digits` significant digits, plain notation (no exponent): 0.0346 → "0.035", 1234 → "1200".
[[nodiscard]] std::string significant(double value, int digits);

/// At most `digits` significant digits, as short as the number allows: 2.50 → "2.5", 0.00042 → "0.00042".
[[nodiscard]] std::string shortest(double value, int digits);

/// A length in mm with at most one decimal, ".0" left out: 0.0185 m → "18.5".
[[nodiscard]] std::string in_mm(double length_m);

/// A share in whole per cent: 0.394 → "39 %".
[[nodiscard]] std::string in_percent(double share);

/// A mass in kg: two decimals below 100 kg, then one: 9.624 → "9.62".
[[nodiscard]] std::string in_kg(double mass_kg);

/// A volume given in m³, in litres with one decimal.
[[nodiscard]] std::string in_litres(double volume_m3);

/// A frequency in whole hertz, one decimal below 100 Hz: 412.3 → "412".
[[nodiscard]] std::string in_hertz(double frequency_Hz);

/// A frequency with its band: "412 ±24", or "412 +24/−18" when the sides differ.
[[nodiscard]] std::string with_band(double f_Hz, double low_Hz, double high_Hz);

/// Value and error rounded alike, to two digits of the error: "412.3 ±0.4"; the value alone without an error.
[[nodiscard]] std::string with_error(double value, double error);

/// A printed number with a true minus instead of a hyphen, none before nought: "-12" → "−12", "-0" → "0".
[[nodiscard]] std::string with_minus(const std::string& number);

/// A duration in seconds: "0.42 s".
[[nodiscard]] std::string in_seconds(double seconds);

} // namespace stillwall::app
