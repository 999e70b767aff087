#include "app/verbs/driver/driver_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

using enum Align;
using solver::Known;

struct Row
{
    const char* name;
    const char* unit;
    double per_unit;
    Known figure;
};

void add(TextTable& table, const Row& row, const std::string& how)
{
    table.rows.push_back(
        {row.name, with_error(row.figure.value / row.per_unit, row.figure.error / row.per_unit), row.unit, how});
}

void add_moving(TextTable& table, const solver::MovingFigures& m, const std::string& how, bool with_Vas)
{
    add(table, {"Mms", "g", 1e-3, m.Mms}, how);
    add(table, {"Cms", "mm/N", 1e-3, m.Cms}, how);
    add(table, {"Rms", "kg/s", 1, m.Rms}, how);
    add(table, {"Bl", "N/A", 1, m.Bl}, how);
    if (m.Vas && with_Vas) add(table, {"Vas", "l", 1e-3, *m.Vas}, how + ", Sd");
}

std::string figures_table(const DriverReport& report)
{
    const solver::DriverFigures& d = report.figures;
    TextTable table{{{"Figure", Left}, {"Value", Left}, {"Unit", Left}, {"From", Left}}, {}};
    const std::string fit = "the curve";
    add(table, {"Re", "ohm", 1, d.Re}, fit);
    add(table, {"fs", "Hz", 1, d.fs}, fit);
    add(table, {"Zmax", "ohm", 1, d.Zmax}, fit);
    add(table, {"Qms", "", 1, d.Qms}, fit);
    add(table, {"Qes", "", 1, d.Qes}, fit);
    add(table, {"Qts", "", 1, d.Qts}, fit);
    add(table, {"Le", "mH", 1e-3, d.Le}, "the curve, at 1 kHz");
    add(table, {"Le_exponent", "", 1, d.Le_exponent}, "the curve");
    if (report.by_mass) add_moving(table, *report.by_mass, "added mass", true);
    if (report.by_box) {
        add(table, {"Vas", "l", 1e-3, report.by_box->Vas}, "known box, with the motor's Q");
        add(table, {"Vas", "l", 1e-3, report.by_box->Vas_by_frequency}, "known box, frequencies alone");
        if (report.by_box->moving) add_moving(table, *report.by_box->moving, "known box, Sd", false);
    }
    return table.text();
}

std::string in_signed_percent(const Known& k)
{
    return with_minus(fmt::format("{:+.2f}", 100 * k.value)) + fmt::format(" ±{:.2f} %", 100 * k.error);
}

std::string pair_words(const DriverReport& report)
{
    const solver::PairMatch& p = *report.pair;
    TextTable table{{{"Second against first", Left}, {"", Right}}, {}};
    table.rows = {{"fs", in_signed_percent(p.fs)},
                  {"Zmax", in_signed_percent(p.Zmax)},
                  {"Re", in_signed_percent(p.Re)},
                  {"Qts", in_signed_percent(p.Qts)},
                  {fmt::format("curve, most at {} Hz", in_hertz(p.largest_curve_Hz)),
                   with_minus(fmt::format("{:+.1f} %", 100 * p.largest_curve))}};
    return '\n' + table.text();
}

} // namespace

std::string driver_text(const DriverReport& report)
{
    std::string text;
    for (const std::string& line : report.understood) text += wrapped(line);
    text += '\n' + figures_table(report);
    text += wrapped(fmt::format("The curve is met to {:.1f} % at worst, at {} Hz.", 100 * report.figures.largest_error,
                                in_hertz(report.figures.largest_error_Hz)));
    if (report.pair) text += pair_words(report);
    for (const std::string& warning : report.figures.warnings) text += wrapped("Note: " + warning + '.');
    text += '\n' + wrapped("±: one standard deviation, from what the fit leaves; added mass and volume count with 0.5 "
                           "and 1 %. The figures hold for small signals, "
                           "at this level and temperature, for a suspension as run in as this one, clear of walls; Vas "
                           "also for today's air. "
                           "Units are compared at one level, one after the other. Small boxes that leak make Vas by "
                           "frequencies and by the motor's Q differ.");
    text += wrapped(
        "Caution: sweeps move cones far at low frequencies: start low, keep ears and drivers within their limits.");
    return text;
}

std::string driver_yaml(const DriverReport& report)
{
    const solver::DriverFigures& d = report.figures;
    std::string text = fmt::format("Re: {} ohm, Le: {} mH, Le_exponent: {}, ", shortest(d.Re.value, 4),
                                   shortest(std::max(0.0, d.Le.value) * 1e3, 3),
                                   shortest(std::clamp(d.Le_exponent.value, 0.4, 1.0), 3));
    const solver::MovingFigures* moving = report.by_mass                           ? &*report.by_mass
                                          : report.by_box && report.by_box->moving ? &*report.by_box->moving
                                                                                   : nullptr;
    if (moving != nullptr)
        text += fmt::format("Bl: {} N/A, Mms: {} g, Cms: {} mm/N, Qms: {}", shortest(moving->Bl.value, 4),
                            shortest(moving->Mms.value * 1e3, 4), shortest(moving->Cms.value * 1e3, 4),
                            shortest(d.Qms.value, 4));
    else
        text += fmt::format("fs: {} Hz, Qms: {}, Qes: {}", shortest(d.fs.value, 5), shortest(d.Qms.value, 4),
                            shortest(d.Qes.value, 4));
    if (report.Sd) text += fmt::format(", Sd: {} cm2", shortest(*report.Sd * 1e4, 4));
    return "driver: {" + text + "}\n";
}

} // namespace stillwall::app
