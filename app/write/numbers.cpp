#include "app/write/numbers.h"

#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {

std::string significant(double value, int digits)
{
    if (value == 0 || !std::isfinite(value)) return fmt::format("{}", value);
    // Rounding first, so that 9.96 with two digits counts as 10 and not as 9.
    const double exponent = std::floor(std::log10(std::abs(value)));
    const double step = std::pow(10.0, exponent - (digits - 1));
    const double rounded = std::round(value / step) * step;
    const double rounded_exponent = std::floor(std::log10(std::abs(rounded)) + 1e-12);
    const int decimals = std::max(0, digits - 1 - static_cast<int>(rounded_exponent));
    return fmt::format("{:.{}f}", rounded, decimals);
}

std::string shortest(double value, int digits)
{
    std::string text = significant(value, digits);
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

std::string in_mm(double length_m)
{
    const double tenths = std::round(length_m / units::mm * 10);
    if (std::fmod(tenths, 10.0) == 0) return fmt::format("{:.0f}", tenths / 10 + 0.0);
    return fmt::format("{:.1f}", tenths / 10);
}

std::string in_percent(double share)
{
    return fmt::format("{:.0f} %", share * 100);
}

std::string in_kg(double mass_kg)
{
    return fmt::format("{:.{}f}", mass_kg, std::abs(mass_kg) < 100 ? 2 : 1);
}

std::string in_litres(double volume_m3)
{
    return fmt::format("{:.1f}", volume_m3 / units::litre);
}

std::string in_hertz(double frequency_Hz)
{
    return fmt::format("{:.{}f}", frequency_Hz, frequency_Hz < 99.95 ? 1 : 0);
}

std::string with_band(double f_Hz, double low_Hz, double high_Hz)
{
    // Whole hertz throughout when the frequency itself is in whole hertz.
    const auto like_f = [&](double width_Hz) { return fmt::format("{:.{}f}", width_Hz, f_Hz < 99.95 ? 1 : 0); };
    const std::string plus = like_f(high_Hz - f_Hz);
    const std::string minus = like_f(f_Hz - low_Hz);
    if (plus == minus) return fmt::format("{} ±{}", in_hertz(f_Hz), plus);
    return fmt::format("{} +{}/−{}", in_hertz(f_Hz), plus, minus);
}

std::string with_minus(const std::string& number)
{
    if (number == "-0") return "0";
    return number.starts_with('-') ? "−" + number.substr(1) : number;
}

std::string in_seconds(double seconds)
{
    return fmt::format("{:.2f} s", seconds);
}

std::string with_error(double value, double error)
{
    if (!(error > 0)) return shortest(value, 4);
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(error))), 0, 6);
    // An error of two digits or more before the point needs none behind it.
    const int shown = error >= 1 ? std::min(decimals, 1) : decimals;
    return fmt::format("{:.{}f} ±{:.{}f}", value, shown, error, shown);
}

} // namespace stillwall::app
