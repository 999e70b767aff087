// From strips to an entry for the materials of a cabinet file.

#include "app/input/material_file.h"
#include "app/verbs/strip/strip_report.h"
#include "app/write/numbers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::app {
namespace {

using solver::Known;
using solver::RatioSource;
using solver::StripResult;

Quantity band(const Known& known)
{
    return {known.value, known.value - known.error, known.value + known.error, "", ""};
}

Quantity band(const solver::Assumed& assumed)
{
    return {assumed.value, assumed.low, assumed.high, "", ""};
}

EntryLine loss_line(const std::string& key, const StripResult* result)
{
    if (result && result->loss) return {key, band(*result->loss), false, "bending modes, readings ±15 %"};
    return {key, {}, true, "ring a bending mode and give t60, decay, bandwidth or q"};
}

Known mean_density(const StripReport& report)
{
    Known mean;
    const auto n = static_cast<double>(report.results.size());
    for (const StripResult& result : report.results) {
        mean.value += result.rho.value / n;
        mean.error = std::max(mean.error, result.rho.error);
    }
    return mean;
}

MaterialEntry same_all_ways(const StripReport& report)
{
    const solver::StripData& data = report.plan.strips.front().data;
    const StripResult& result = report.results.front();
    MaterialEntry entry{report.plan.material, {}};
    entry.lines.push_back({"E", band(result.E_isotropic), false, "rings like the strip with G = E / (2 (1 + nu))"});
    if (data.given_nu) {
        entry.lines.push_back({"nu", band(*data.given_nu), false, "given"});
    } else if (result.nu) {
        Quantity nu = band(*result.nu);
        for (double* end : {&nu.low, &nu.value, &nu.high}) *end = std::clamp(*end, 0.0, 0.49);
        entry.lines.push_back({"nu", nu, false, "from bending and torsion"});
    } else {
        entry.lines.push_back({"nu", {0.3, 0.2, 0.4, "", ""}, false, "assumed"});
    }
    entry.lines.push_back({"density", band(result.rho), false, "mass over volume"});
    entry.lines.push_back(loss_line("loss", &result));
    return entry;
}

/// What strips know of the nine constants.
std::map<std::string, EntryLine> measured_constants(const StripReport& report)
{
    std::map<std::string, EntryLine> known;
    for (std::size_t i = 0; i < report.results.size(); ++i) {
        const StripResult& result = report.results[i];
        const bool is_along = report.plan.strips[i].direction == StripDirection::Along;
        const std::string way = is_along ? "strip along" : "strip across";
        const std::string E = is_along ? "E1" : "E2", G_t = is_along ? "G13" : "G23";
        known[E] = {E, band(result.E), false, way + (result.is_E_static ? ", static test" : ", bending")};
        if (result.ratio_source == RatioSource::Fitted || result.ratio_source == RatioSource::Given)
            known[G_t] = {G_t, band(result.G_t), false, way + ", E/G " + ratio_words(result)};
        if (!result.G_in) continue;
        Quantity G = band(*result.G_in);
        if (const auto found = known.find("G12");
            found != known.end()) { // both strips twisted: mean, and a band over both
            const Quantity& other = found->second.figure;
            G = {0.5 * (G.value + other.value), std::min(G.low, other.low), std::max(G.high, other.high), "", ""};
            found->second = {"G12", G, false, "torsion of both strips"};
        } else {
            known["G12"] = {"G12", G, false, way + ", torsion"};
        }
    }
    return known;
}

std::string what_gives(const std::string& key)
{
    if (key == "E1") return "a strip along";
    if (key == "E2") return "a strip across";
    if (key == "G12") return "a torsion mode of either strip";
    if (key == "G13") return "bending 1 and 2 of the strip along";
    if (key == "G23") return "bending 1 and 2 of the strip across";
    return "not from strips; give it under constants";
}

const StripResult* result_in(const StripReport& report, StripDirection direction)
{
    for (std::size_t i = 0; i < report.results.size(); ++i)
        if (report.plan.strips[i].direction == direction) return &report.results[i];
    return nullptr;
}

/// A whole material must be possible, else the entry would be refused where it is pasted.
void check_whole(const StripReport& report, const MaterialEntry& entry)
{
    std::map<std::string, Quantity> figures;
    for (const EntryLine& line : entry.lines) {
        const std::string key = line.key == "density"       ? "rho"
                                : line.key == "loss"        ? "eta"
                                : line.key == "loss_across" ? "eta2"
                                                            : line.key;
        figures[key] = line.figure;
    }
    try {
        (void)make_material(entry.name, Symmetry::Orthotropic, figures);
    } catch (const MaterialError& error) {
        const KeyPlace& place = report.plan.constants_place;
        throw InputError(place.where, place.path,
                         fmt::format("with the strips' figures no such material exists; {}", error.what()));
    }
}

MaterialEntry with_grain(const StripReport& report)
{
    std::map<std::string, EntryLine> known = measured_constants(report);
    const KeyPlace& place = report.plan.constants_place;
    for (const auto& [key, figure] : report.plan.constants) {
        if (known.count(key) > 0)
            throw InputError(place.where, place.path + '.' + key, "is measured by a strip; leave it out");
        known[key] = {key, figure, false, "given"};
    }
    MaterialEntry entry{report.plan.material, {}};
    for (const char* key : {"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23"}) {
        const auto found = known.find(key);
        entry.lines.push_back(found != known.end() ? found->second : EntryLine{key, {}, true, what_gives(key)});
    }
    entry.lines.push_back({"density", band(mean_density(report)), false, "mass over volume"});
    const StripResult *along = result_in(report, StripDirection::Along),
                      *across = result_in(report, StripDirection::Across);
    entry.lines.push_back(loss_line("loss", along));
    if (across && across->loss) entry.lines.push_back(loss_line("loss_across", across));
    if (entry.is_complete()) check_whole(report, entry);
    return entry;
}

/// The strip a figure comes from: E2 and G23 from one across, all others from the first.
std::size_t strip_of(const StripPlan& plan, const std::string& key)
{
    const bool is_across = key == "E2" || key == "G23";
    return is_across && plan.strips.size() == 2 && plan.strips[1].direction == StripDirection::Across ? 1 : 0;
}

/// A figure whose error reaches down to nothing tells nothing, and one no stuff has is a slip; no cabinet file takes
/// either.
void check_figures(const StripReport& report, const MaterialEntry& entry)
{
    constexpr double softest = 1e4, stiffest = 1e12; // [Pa] as the cabinet file has it
    for (const EntryLine& line : entry.lines) {
        const bool is_modulus = line.key.front() == 'E' || line.key.front() == 'G';
        if (line.is_missing || !(is_modulus || line.key == "density")) continue;
        const std::size_t i = strip_of(report.plan, line.key);
        const KeyPlace& place = report.plan.strips[i].whole;
        const auto& errors = report.results[i].E_errors;
        const Quantity& q = line.figure;
        if (!(q.low > 0))
            throw InputError(
                place.where, place.path,
                fmt::format("{} comes out uncertain by ±{:.0f} %, which tells nothing; measure {} more exactly",
                            line.key, (1 - q.low / q.value) * 100,
                            errors.empty() ? "the strip" : errors.front().input));
        if (is_modulus && (q.low < softest || q.high > stiffest))
            throw InputError(place.where, place.path,
                             fmt::format("{} comes out as {:.3g} GPa, which no board has; look at sizes, mass and "
                                         "frequencies again",
                                         line.key, q.value / 1e9));
    }
}

std::string figure_text(const EntryLine& line)
{
    const bool is_modulus = line.key.front() == 'E' || line.key.front() == 'G';
    const double unit = is_modulus ? 1e9 : 1;
    const std::string name = is_modulus ? " GPa" : line.key == "density" ? " kg/m3" : "";
    const int digits = name.empty() ? 3 : 4;
    constexpr double nought = 1e-9; // in any unit here; 1e-300 would take 300 places
    const auto number = [&](double value) {
        return shortest(std::abs(value / unit) < nought ? 0 : value / unit, digits) + name;
    };
    if (line.figure.low == line.figure.high) return number(line.figure.value);
    return fmt::format("[{}, {}, {}]", number(line.figure.low), number(line.figure.value), number(line.figure.high));
}

} // namespace

bool MaterialEntry::is_complete() const
{
    return std::none_of(lines.begin(), lines.end(), [](const EntryLine& line) { return line.is_missing; });
}

MaterialEntry material_entry(const StripReport& report)
{
    MaterialEntry entry =
        report.plan.strips.front().direction == StripDirection::Any ? same_all_ways(report) : with_grain(report);
    check_figures(report, entry);
    return entry;
}

std::string material_yaml(const StripReport& report, const MaterialEntry& entry)
{
    std::string text = fmt::format("# {}: measured with stillwall strip, {}. [low, typical, high]\n", report.plan.name,
                                   report.plan.file);
    if (!entry.is_complete()) text += "# Not ready: the keys after '#' are still missing.\n";
    text += fmt::format("materials:\n  {}:\n", entry.name);
    for (const EntryLine& line : entry.lines)
        text += line.is_missing ? fmt::format("    # {}:  {}\n", line.key, line.comment)
                                : fmt::format("    {}: {}  # {}\n", line.key, figure_text(line), line.comment);
    return text;
}

} // namespace stillwall::app
