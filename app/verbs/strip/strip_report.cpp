#include "app/verbs/strip/strip_report.h"

#include "app/write/numbers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using solver::RatioSource;

bool has_torsion(const PlacedStrip& strip)
{
    return std::any_of(strip.data.modes.begin(), strip.data.modes.end(),
                       [](const solver::ModeReading& mode) { return mode.is_torsion; });
}

const solver::ModeReading* first_bending(const PlacedStrip& strip)
{
    const solver::ModeReading* first = nullptr;
    for (const solver::ModeReading& mode : strip.data.modes)
        if (!mode.is_torsion && (!first || mode.number < first->number)) first = &mode;
    return first;
}

/// Aspect ratio of the section as torsion sees it: width shrunk by the softness through the thickness.
double seen_aspect(const PlacedStrip& strip, const solver::StripResult& result)
{
    return strip.data.width.value / strip.data.thickness.value * std::sqrt(result.G_t.value / result.G_in->value);
}

constexpr double narrow_aspect = 2; // β falls below 0.23: a third of the stiffness hangs on the softer modulus

void add_model_notes(const PlacedStrip& strip, const solver::StripResult& result, std::vector<std::string>& notes)
{
    if (result.is_ratio_unresolved)
        notes.push_back("The bending modes are too few or too rough to show the shear; E/G is not taken from them.");
    if (result.ratio_source == RatioSource::Usual)
        notes.push_back(
            fmt::format("E/G = {} is usual for this kind of board (from memory, range {}–{}), not measured.",
                        shortest(result.E_over_G.value, 3), shortest(strip.data.usual_ratio->low, 3),
                        shortest(strip.data.usual_ratio->high, 3)));
    if (result.E_astm && std::abs(*result.E_astm / result.E.value - 1) > 0.01)
        notes.push_back("ASTM E1876 supposes E/G of about 2.6 and takes too little shear out; trust the first line.");
    if (strip.data.width.value > solver::vibrating_bar(strip.data).length / 4)
        notes.push_back(
            "The strip is wider than a quarter of its length: it begins to act as a plate, E comes out high.");
    if (result.G_in && result.ratio_source != RatioSource::Torsion && result.ratio_source != RatioSource::Isotropic &&
        seen_aspect(strip, result) < narrow_aspect)
        notes.push_back(
            "So narrow a strip twists by shear through its thickness as well: G in the plane hangs on E/G.");
}

} // namespace

std::string mode_words(const solver::ModeReading& mode)
{
    return fmt::format("{} {}", mode.is_torsion ? "torsion" : "bending", mode.number);
}

std::string direction_words(StripDirection direction)
{
    switch (direction) {
    case StripDirection::Along:
        return "along";
    case StripDirection::Across:
        return "across";
    case StripDirection::Any:
        break;
    }
    return "any direction";
}

std::string ratio_words(const solver::StripResult& result)
{
    switch (result.ratio_source) {
    case RatioSource::Fitted:
        return "fitted to the bending modes";
    case RatioSource::Given:
        return "given in the file";
    case RatioSource::Torsion:
        return "from the torsion mode, one G in all directions";
    case RatioSource::Usual:
        return "assumed, usual for this board";
    case RatioSource::Isotropic:
        return "assumed, 2 (1 + nu)";
    }
    return {};
}

std::vector<std::string> strip_notes(const PlacedStrip& strip, const solver::StripResult& result)
{
    std::vector<std::string> notes;
    if (strip.data.ends == solver::BarEnds::ClampedFree)
        notes.push_back(
            "A real clamp gives a little: E comes out low and the loss high. A strip hung on threads is better.");
    add_model_notes(strip, result, notes);
    if (result.is_E_static) {
        const solver::Assumed& ratio = strip.data.bending_test->dynamic_per_static;
        notes.push_back(
            fmt::format("E is the slow modulus × {} (range {}–{}), assumed: vibration finds boards stiffer. Wood "
                        "Handbook: 1.1; Hunt et al., BioResources 8 (2013) 115: MDF 1.26.",
                        shortest(ratio.value, 3), shortest(ratio.low, 3), shortest(ratio.high, 3)));
    }
    constexpr double tiny_loss = 0.003;
    if (result.loss && result.loss->low < tiny_loss)
        notes.push_back(
            "At so low a loss threads and air take their share: hang anew several times and keep the lowest.");
    return notes;
}

std::vector<std::string> strip_next_steps(const PlacedStrip& strip, const solver::StripResult& result)
{
    std::vector<std::string> steps;
    const solver::Bar bar = solver::vibrating_bar(strip.data);
    const solver::ModeReading* first = first_bending(strip);
    const bool is_free = strip.data.ends == solver::BarEnds::FreeFree;
    constexpr double node = 0.224; // nodes of the first bending mode, from the ends over the length
    if (is_free && !first)
        steps.push_back(
            fmt::format("Hang the strip on two threads {} mm from each end and strike its middle: that rings "
                        "bending 1.",
                        in_mm(std::round(node * bar.length * 1e3) * 1e-3)));
    if (!result.E_errors.empty()) {
        const std::string& input = result.E_errors.front().input;
        if (input == "thickness")
            steps.push_back("Thickness rules the error of E: take the mean of six places, by micrometer.");
        else if (input == "E/G")
            steps.push_back("E/G rules the error of E: ring a second bending mode or a longer strip.");
        else if (input != "dynamic over static modulus") // only ringing the strip helps there, said already
            steps.push_back(fmt::format("The {} rules the error of E: measure it closer.", input));
    }
    const bool lacks_second = std::none_of(strip.data.modes.begin(), strip.data.modes.end(),
                                           [](const auto& mode) { return !mode.is_torsion && mode.number == 2; });
    if (first && first->number == 1 && lacks_second && result.ratio_source == RatioSource::Usual) {
        const double slim = bar.thickness / bar.length, ratio = result.E_over_G.value;
        const double step = solver::bending_number(strip.data.ends, 2, slim, ratio) /
                            solver::bending_number(strip.data.ends, 1, slim, ratio);
        steps.push_back(fmt::format("Bending 2 should ring near {} Hz; with it E/G is measured instead of assumed.",
                                    in_hertz(first->f.value * step)));
    }
    if (const auto n = std::count_if(strip.data.modes.begin(), strip.data.modes.end(),
                                     [](const solver::ModeReading& mode) { return !mode.is_torsion; });
        result.ratio_source == RatioSource::Fitted && n == 2)
        steps.push_back("Two bending modes fix E and E/G with nothing left over; bending 3 would check them.");
    constexpr double rough = 0.08; // of G; a short bar gives 2 to 3 %
    const bool is_rough = result.ratio_source == RatioSource::Usual ||
                          (result.ratio_source == RatioSource::Fitted && result.G_t.error > rough * result.G_t.value);
    if (is_rough && bar.length > 10 * bar.thickness)
        steps.push_back(
            fmt::format("For the shear through the thickness, which rules a cabinet's bands: bending 1 to 3 of an "
                        "offcut about {} mm long (examples/strip-02-short-offcut).",
                        in_mm(8 * bar.thickness)));
    if (is_free && !has_torsion(strip))
        steps.push_back("For G in the plane: hang the strip at its middle, strike a corner, add torsion: 1.");
    if (result.G_in && seen_aspect(strip, result) < narrow_aspect)
        steps.push_back("For a better G saw a strip 5 thicknesses wide or more: guard on, dust mask P2.");
    if (!result.loss) steps.push_back("For the loss record the decay: t60, decay, bandwidth or q of a bending mode.");
    return steps;
}

} // namespace stillwall::app
