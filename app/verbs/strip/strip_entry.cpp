// From strips to an entry for the materials of a cabinet file.

#include "app/input/stock_material.h"
#include "app/verbs/strip/strip_report.h"
#include "app/write/numbers.h"
#include "solver/modes/sensitivity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::app {
namespace {

using solver::Known;
using solver::RatioSource;
using solver::StripResult;

/// Two standard deviations to either side, as the library's ranges; of the logarithm, so that none ends below nought.
Quantity band(const Known& known)
{
    const double spread = std::exp(solver::range_deviations * known.error / known.value);
    return {known.value, known.value / spread, known.value * spread, "", ""};
}

/// The same for a figure that may be nought.
Quantity plain_band(const Known& known)
{
    const double half = solver::range_deviations * known.error;
    return {known.value, known.value - half, known.value + half, "", ""};
}

Quantity band(const solver::Assumed& assumed)
{
    return {assumed.value, assumed.low, assumed.high, "", ""};
}

/// Poisson's ratio of a board alike in every direction of its plane, kept possible.
Quantity poisson_band(const Known& known)
{
    Quantity nu = plain_band(known);
    for (double* end : {&nu.low, &nu.value, &nu.high}) *end = std::clamp(*end, 0.0, 0.49);
    return nu;
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

MaterialEntry isotropic(const StripReport& report)
{
    const solver::StripData& data = report.plan.strips.front().data;
    const StripResult& result = report.results.front();
    MaterialEntry entry{report.plan.material, "", {}};
    entry.lines.push_back({"E", band(result.E_isotropic), false, "rings like the strip with G = E / (2 (1 + nu))"});
    if (data.given_nu) {
        entry.lines.push_back({"nu", band(*data.given_nu), false, "given"});
    } else if (result.nu) {
        entry.lines.push_back({"nu", poisson_band(*result.nu), false, "from bending and torsion"});
    } else {
        entry.lines.push_back({"nu", {0.3, 0.2, 0.4, "", ""}, false, "assumed"});
    }
    entry.lines.push_back({"density", band(result.rho), false, "mass over volume"});
    entry.lines.push_back(loss_line("loss", &result));
    return entry;
}

bool is_measured(const StripResult& result)
{
    return result.ratio_source == RatioSource::Fitted || result.ratio_source == RatioSource::Given;
}

/// What one strip of a board alike in every direction of its plane knows of the nine constants.
std::map<std::string, EntryLine> measured_in_plane(const StripReport& report)
{
    const solver::StripData& data = report.plan.strips.front().data;
    const StripResult& result = report.results.front();
    std::map<std::string, EntryLine> known;
    const auto put = [&](const char* key, const Quantity& q, std::string how) {
        known[key] = {key, q, false, std::move(how)};
    };
    for (const char* key : {"E1", "E2"}) put(key, band(result.E), result.is_E_static ? "static test" : "bending");
    if (is_measured(result))
        for (const char* key : {"G13", "G23"}) put(key, band(result.G_t), "E/G " + ratio_words(result));
    if (result.G_in) put("G12", band(*result.G_in), "torsion");
    if (data.given_nu)
        put("nu12", band(*data.given_nu), "given");
    else if (result.nu)
        put("nu12", poisson_band(*result.nu), "E / (2 G12) − 1");
    return known;
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
        if (is_measured(result)) known[G_t] = {G_t, band(result.G_t), false, way + ", E/G " + ratio_words(result)};
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
        const KeyPlace& place =
            report.plan.constants.empty() ? report.plan.strips.front().whole : report.plan.constants_place;
        throw InputError(place.where, place.path,
                         fmt::format("with the strips' figures{} no such material exists; {}",
                                     entry.stock.empty() ? "" : " and the rest from " + entry.stock, error.what()));
    }
}

/// What nobody measured or gave, from the stock.
/// @return whether anything was
bool fill_in(std::map<std::string, EntryLine>& known, const Stock& stock, const MaterialLibrary& library,
             double thickness)
{
    const Material m = board_material(library, stock.info.name, made_thickness(stock, thickness));
    const std::pair<const char*, const Quantity*> figures[] = {
        {"E1", &m.E1},     {"E2", &m.E2},    {"E3", &m.E3},           {"G12", &m.G12},
        {"G13", &m.G13},   {"G23", &m.G23},  {"nu12", &m.nu12},       {"nu13", &m.nu13},
        {"nu23", &m.nu23}, {"loss", &m.eta}, {"loss_across", &m.eta2}};
    const std::string from = "not measured: " + stock.info.name;
    // Alike in its plane: G12 goes with E and nu12 by definition, whatever the stock's E.
    if (symmetry_of(stock) == StockSymmetry::InPlane && known.count("G12") == 0 && known.count("E1") > 0) {
        const Quantity &E = known.at("E1").figure, &nu = known.count("nu12") > 0 ? known.at("nu12").figure : m.nu12;
        known["G12"] = {
            "G12",
            {E.value / (2 * (1 + nu.value)), E.low / (2 * (1 + nu.high)), E.high / (2 * (1 + nu.low)), "", ""},
            false,
            "E1 / (2 (1 + nu12))"};
    }
    bool is_taken = false;
    for (const auto& [key, figure] : figures) {
        const bool is_said_by_loss = key == std::string("loss_across") && symmetry_of(stock) != StockSymmetry::Grain;
        if (!is_said_by_loss && known.try_emplace(key, EntryLine{key, *figure, false, from}).second) is_taken = true;
    }
    return is_taken;
}

MaterialEntry orthotropic(const StripReport& report, const Stock* stock, const MaterialLibrary& library)
{
    const bool is_alike = report.plan.strips.front().direction == StripDirection::Any;
    std::map<std::string, EntryLine> known = is_alike ? measured_in_plane(report) : measured_constants(report);
    const KeyPlace& place = report.plan.constants_place;
    for (const auto& [key, figure] : report.plan.constants) {
        if (known.count(key) > 0)
            throw InputError(place.where, place.path + '.' + key, "is measured by a strip; leave it out");
        known[key] = {key, figure, false, "given"};
    }
    const StripResult* along = is_alike ? &report.results.front() : result_in(report, StripDirection::Along);
    const StripResult* across = result_in(report, StripDirection::Across);
    if (along && along->loss) known["loss"] = loss_line("loss", along);
    if (across && across->loss) known["loss_across"] = loss_line("loss_across", across);

    MaterialEntry entry{report.plan.material, "", {}};
    if (stock && fill_in(known, *stock, library, report.plan.strips.front().data.thickness.value))
        entry.stock = stock->info.name;
    const auto add = [&](const char* key, const std::string& what) {
        const auto found = known.find(key);
        entry.lines.push_back(found != known.end() ? found->second : EntryLine{key, {}, true, what});
    };
    for (const char* key : {"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23"}) add(key, what_gives(key));
    entry.lines.push_back({"density", band(mean_density(report)), false, "mass over volume"});
    add("loss", loss_line("loss", nullptr).comment);
    if (known.count("loss_across") > 0) add("loss_across", "");
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
        const double uncertainty = std::log(q.value / q.low) / solver::range_deviations;
        if (uncertainty > 1)
            throw InputError(
                place.where, place.path,
                fmt::format("{} comes out uncertain by ±{:.0f} %, which tells nothing; measure {} more exactly",
                            line.key, uncertainty * 100, errors.empty() ? "the strip" : errors.front().input));
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

MaterialEntry material_entry(const StripReport& report, const MaterialLibrary& library)
{
    const Stock* stock = stock_for(report, library);
    const bool is_alike = report.plan.strips.front().direction == StripDirection::Any;
    const bool is_isotropic = is_alike && (stock ? symmetry_of(*stock) == StockSymmetry::Isotropic : true);
    MaterialEntry entry = is_isotropic ? isotropic(report) : orthotropic(report, stock, library);
    check_figures(report, entry);
    return entry;
}

std::string material_yaml(const StripReport& report, const MaterialEntry& entry)
{
    std::string text = fmt::format("# {}: measured with stillwall strip, {}. [low, typical, high]\n", report.plan.name,
                                   report.plan.file);
    if (!entry.stock.empty())
        text += fmt::format("# What was not measured is taken from the library's {}, with its range.\n", entry.stock);
    if (!entry.is_complete()) text += "# Not ready: the keys after '#' are still missing.\n";
    text += fmt::format("materials:\n  {}:\n", entry.name);
    for (const EntryLine& line : entry.lines)
        text += line.is_missing ? fmt::format("    # {}:  {}\n", line.key, line.comment)
                                : fmt::format("    {}: {}  # {}\n", line.key, figure_text(line), line.comment);
    return text;
}

} // namespace stillwall::app
