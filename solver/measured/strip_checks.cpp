// What can be seen wrong in a strip's data before anything is computed.

#include "solver/measured/strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

constexpr double least_length_per_thickness = 5; // below, a bar's ends fill it and no beam theory holds
constexpr double least_length_per_width = 2;     // below, it is a plate
constexpr double lowest_density = 50, highest_density = 20000;
constexpr double same_frequency = 0.01;
constexpr double same_loss = 1.25;

const char* kind(const ModeReading& mode)
{
    return mode.is_torsion ? "torsion" : "bending";
}

void check_sizes(const StripData& data)
{
    const Bar bar = vibrating_bar(data);
    if (data.ends == BarEnds::ClampedFree && data.free_length > data.length.value)
        throw StripError(StripPart::Length, fmt::format("free length {:.4g} mm is longer than the strip ({:.4g} mm)",
                                                        data.free_length * 1e3, data.length.value * 1e3));
    if (bar.length < least_length_per_thickness * bar.thickness)
        throw StripError(
            StripPart::Thickness,
            fmt::format("{:.4g} mm is more than a fifth of the length ({:.4g} mm), too thick for beam theory; "
                        "cut a strip of 20 thicknesses",
                        bar.thickness * 1e3, bar.length * 1e3));
    if (bar.length < least_length_per_width * bar.width)
        throw StripError(StripPart::Width,
                         fmt::format("{:.4g} mm is more than half the length ({:.4g} mm), the piece rings as "
                                     "a plate; cut a strip 5 to 10 times longer than wide",
                                     bar.width * 1e3, bar.length * 1e3));
    const double rho = data.mass.value / (data.length.value * data.width.value * data.thickness.value);
    if (!(rho >= lowest_density && rho <= highest_density))
        throw StripError(StripPart::Mass,
                         fmt::format("mass over volume is {:.{}f} kg/m3, boards lie between {:.0f} and {:.0f}; "
                                     "check the units of mass and sizes",
                                     rho, rho < 100 ? 1 : 0, lowest_density, highest_density));
}

void check_pair(const ModeReading& a, const ModeReading& b, int b_index)
{
    if (a.is_torsion == b.is_torsion) {
        if (a.number == b.number)
            throw StripError(StripPart::Mode, fmt::format("{} mode {} is given twice", kind(b), b.number), b_index);
        if ((a.number - b.number) * (a.f.value - b.f.value) <= 0)
            throw StripError(
                StripPart::Mode,
                fmt::format("{} mode {} ({:.4g} Hz) and mode {} ({:.4g} Hz) are out of order, a higher mode rings "
                            "higher",
                            kind(b), b.number, b.f.value, a.number, a.f.value),
                b_index);
        return;
    }
    if (std::abs(a.f.value / b.f.value - 1) < same_frequency)
        throw StripError(
            StripPart::Mode,
            fmt::format("{} mode {} ({:.4g} Hz) lies within 1 % of {} mode {} ({:.4g} Hz), one peak was taken for "
                        "both; strike and listen at a corner for torsion, on the middle line for bending",
                        kind(b), b.number, b.f.value, kind(a), a.number, a.f.value),
            b_index);
}

void check_losses(const ModeReading& mode, int index)
{
    const LossReading *least = nullptr, *most = nullptr;
    for (const LossReading& reading : mode.losses) {
        if (!(reading.loss > 0 && reading.loss <= 1))
            throw StripError(
                StripPart::Mode,
                fmt::format("{} gives a loss factor of {:.3g}, it must lie above 0 and at most at 1; check its unit",
                            reading.how, reading.loss),
                index);
        if (!least || reading.loss < least->loss) least = &reading;
        if (!most || reading.loss > most->loss) most = &reading;
    }
    if (least && most->loss > same_loss * least->loss)
        throw StripError(
            StripPart::Mode,
            fmt::format("{} gives a loss factor of {:.3g} and {} one of {:.3g}; they should agree within 25 %",
                        least->how, least->loss, most->how, most->loss),
            index);
}

void check_static(const StripData& data)
{
    const StaticReading& test = *data.bending_test;
    if (test.span > data.length.value)
        throw StripError(StripPart::Static, fmt::format("span {:.4g} mm is longer than the strip ({:.4g} mm)",
                                                        test.span * 1e3, data.length.value * 1e3));
    if (test.span < 10 * data.thickness.value)
        throw StripError(StripPart::Static,
                         fmt::format("span {:.4g} mm is less than 10 thicknesses ({:.4g} mm), shear and dents "
                                     "at the supports rule; EN 310 takes 20",
                                     test.span * 1e3, 10e3 * data.thickness.value));
}

} // namespace

Bar vibrating_bar(const StripData& data)
{
    Bar bar{data.length.value, data.width.value, data.thickness.value, data.mass.value};
    if (data.ends == BarEnds::ClampedFree) {
        bar.mass *= data.free_length / bar.length;
        bar.length = data.free_length;
    }
    return bar;
}

void check_strip_data(const StripData& data)
{
    check_sizes(data);
    const auto n = static_cast<int>(data.modes.size());
    for (int i = 0; i < n; ++i) {
        const ModeReading& mode = data.modes[static_cast<std::size_t>(i)];
        if (mode.is_torsion && data.ends == BarEnds::ClampedFree)
            throw StripError(StripPart::Mode, "a torsion mode needs a free strip, a clamp holds the section's warping",
                             i);
        for (int j = 0; j < i; ++j) check_pair(data.modes[static_cast<std::size_t>(j)], mode, i);
        check_losses(mode, i);
    }
    if (data.bending_test) check_static(data);
    const bool has_bending =
        std::any_of(data.modes.begin(), data.modes.end(), [](const ModeReading& mode) { return !mode.is_torsion; });
    if (!has_bending && !data.bending_test)
        throw StripError(StripPart::Whole, "neither a bending mode nor a static test is given, E cannot be found");
}

} // namespace stillwall::solver
