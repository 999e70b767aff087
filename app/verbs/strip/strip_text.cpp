#include "app/verbs/strip/strip_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using enum Align;
using solver::Known;
using solver::StripResult;

constexpr double GPa = 1e9;

std::string header(const PlacedStrip& strip)
{
    const solver::StripData& data = strip.data;
    const std::string held = data.ends == solver::BarEnds::FreeFree
                                 ? "free"
                                 : fmt::format("clamped, {} mm free", shortest(data.free_length * 1e3, 4));
    return fmt::format("\n{}: {} × {} × {} mm, {} g, {}, {}\n\n", strip.name.empty() ? "Strip" : strip.name,
                       shortest(data.length.value * 1e3, 4), shortest(data.width.value * 1e3, 4),
                       shortest(data.thickness.value * 1e3, 4), shortest(data.mass.value * 1e3, 4),
                       direction_words(strip.direction), held);
}

/// Value and error rounded alike: two digits of the error, no more than five of the value.
std::vector<std::string> known_cells(const Known& known, double unit)
{
    const double value = known.value / unit, error = known.error / unit;
    if (!(error > 0)) return {shortest(value, 4), "–"};
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(error))), 0, 4);
    return {fmt::format("{:.{}f}", value, decimals), fmt::format("{:.{}f}", error, decimals)};
}

/// "bending 1, 2".
std::string numbers_of(const PlacedStrip& strip, bool is_torsion)
{
    std::string text = is_torsion ? "torsion" : "bending";
    const char* gap = " ";
    for (const solver::ModeReading& mode : strip.data.modes) {
        if (mode.is_torsion != is_torsion) continue;
        text += fmt::format("{}{}", gap, mode.number);
        gap = ", ";
    }
    return text;
}

std::string versus(double value, double reference)
{
    const double off = 100 * (value / reference - 1);
    return fmt::format("{}{:.1f} % against the exact bar", off < 0 ? "−" : "+", std::abs(off));
}

std::string figures_table(const PlacedStrip& strip, const StripResult& result)
{
    TextTable table;
    table.columns = {{"Figure", Left}, {"Value", Right}, {"±", Right}, {"Unit", Left}, {"How", Left}};
    const auto add = [&](const std::string& name, const Known& known, double unit, const char* unit_name,
                         std::string how) {
        const std::vector<std::string> cells = known_cells(known, unit);
        table.rows.push_back({name, cells[0], cells[1], unit_name, std::move(how)});
    };
    add("E", result.E, GPa, "GPa",
        result.is_E_static ? "static test × dynamic ratio" : numbers_of(strip, false) + ", bar with shear");
    add("E/G through thickness", result.E_over_G, 1, "", ratio_words(result));
    add("G through thickness", result.G_t, GPa, "GPa", "E over E/G");
    if (result.G_in)
        add("G in the plane", *result.G_in, GPa, "GPa", numbers_of(strip, true) + ", Saint-Venant with warping");
    if (result.nu) add("Poisson's ratio", *result.nu, 1, "", "E / (2 G) − 1, in the plane");
    if (strip.direction == StripDirection::Any && !result.is_E_static)
        add("E as if isotropic", result.E_isotropic, GPa, "GPa", "same bar, G = E / (2 (1 + nu)) everywhere");
    if (result.E_astm) add("E by ASTM E1876", {*result.E_astm, 0}, GPa, "GPa", versus(*result.E_astm, result.E.value));
    if (result.G_astm)
        add("G by ASTM E1876", {*result.G_astm, 0}, GPa, "GPa",
            versus(*result.G_astm, result.G_in->value) + ", isotropic formula");
    add("Density", result.rho, 1, "kg/m3", "mass over volume");
    if (result.loss)
        table.rows.push_back({"Loss factor", shortest(result.loss->value, 2),
                              fmt::format("{}–{}", shortest(result.loss->low, 2), shortest(result.loss->high, 2)), "",
                              "mean of the bending modes; lowest − 15 % to highest + 15 %"});
    return table.text();
}

std::string modes_table(const PlacedStrip& strip, const StripResult& result)
{
    if (strip.data.modes.empty()) return {};
    TextTable table;
    table.columns = {{"Mode", Left},  {"Measured Hz", Right}, {"Computed Hz", Right}, {"Off %", Right},
                     {"Loss", Right}, {"Q", Right},           {"Ring ms", Right}};
    for (std::size_t i = 0; i < strip.data.modes.size(); ++i) {
        const solver::ModeReading& mode = strip.data.modes[i];
        const solver::ModeOutcome& outcome = result.modes[i];
        const double off = std::round(1e4 * (mode.f.value / outcome.f_model - 1)) / 100 + 0.0; // + 0.0: no "-0.00"
        std::vector<std::string> row{mode_words(mode),
                                     significant(mode.f.value, 4),
                                     significant(outcome.f_model, 4),
                                     fmt::format("{:+.2f}", off),
                                     "–",
                                     "–",
                                     "–"};
        if (outcome.loss) {
            row[4] = shortest(*outcome.loss, 2);
            row[5] = significant(1 / *outcome.loss, 2);
            row[6] = significant(2200 / (mode.f.value * *outcome.loss), 2); // T60 = 2.2 / (f η)
        }
        table.rows.push_back(std::move(row));
    }
    return '\n' + table.text();
}

std::string static_lines(const PlacedStrip& strip, const StripResult& result)
{
    if (!result.bending_test) return {};
    const solver::StaticOutcome& test = *result.bending_test;
    std::string text =
        fmt::format("\n  Three-point test: E {} GPa as in EN 310; shear is {} % of the bending; without it {} GPa\n",
                    shortest(test.E_apparent / GPa, 4), shortest(100 * test.shear_share, 2), shortest(test.E / GPa, 4));
    if (test.dynamic_ratio)
        text += fmt::format("  Rung over pressed: {} measured; real boards 1.05 to 1.26\n",
                            significant(*test.dynamic_ratio, 3));
    else
        text += fmt::format("  Rung over pressed: {} assumed\n",
                            shortest(strip.data.bending_test->dynamic_per_static.value, 3));
    return text;
}

std::string bullets(const std::string& title, const std::vector<std::string>& sentences)
{
    std::string text = sentences.empty() ? "" : fmt::format("\n  {}\n", title);
    for (const std::string& sentence : sentences) text += wrapped(sentence, "    ", "  - ");
    return text;
}

std::string error_lines(const PlacedStrip& strip, const StripResult& result)
{
    std::string text;
    std::string shares;
    constexpr double worth_saying = 0.03;
    for (const solver::ErrorShare& share : result.E_errors)
        if (share.share >= worth_saying)
            shares += fmt::format("{}{} {}", shares.empty() ? "" : ", ", share.input, in_percent(share.share));
    if (!shares.empty()) text += fmt::format("\n  The error of E comes from: {}\n", shares);
    std::string assumed;
    for (const std::string& item : strip.assumed_errors) assumed += (assumed.empty() ? "" : ", ") + item;
    if (!assumed.empty()) text += wrapped("Errors the file does not give, counted as: " + assumed);
    return text;
}

} // namespace

std::string strip_text(const StripReport& report)
{
    std::string text = report.plan.name + '\n';
    for (std::size_t i = 0; i < report.results.size(); ++i) {
        const PlacedStrip& strip = report.plan.strips[i];
        const StripResult& result = report.results[i];
        text += header(strip) + figures_table(strip, result) + modes_table(strip, result) +
                static_lines(strip, result) + error_lines(strip, result) +
                bullets("Keep in mind", strip_notes(strip, result)) + bullets("Next", strip_next_steps(strip, result));
    }
    return text;
}

} // namespace stillwall::app
