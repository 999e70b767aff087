#include "app/verbs/driver/driver_report.h"

#include "app/version.h"
#include "app/write/finite.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json known(const solver::Known& k, double per_unit = 1)
{
    return {{"value", finite(k.value / per_unit, "a figure")},
            {"error", finite(k.error / per_unit, "a figure's error")}};
}

Json figures_object(const solver::DriverFigures& d)
{
    return {{"re_ohm", known(d.Re)},
            {"fs_hz", known(d.fs)},
            {"zmax_ohm", known(d.Zmax)},
            {"qms", known(d.Qms)},
            {"qes", known(d.Qes)},
            {"qts", known(d.Qts)},
            {"le_mh", known(d.Le, 1e-3)},
            {"le_exponent", known(d.Le_exponent)},
            {"misfit", finite(d.misfit, "the misfit")},
            {"largest_error", finite(d.largest_error, "the largest error")},
            {"largest_error_hz", d.largest_error_Hz},
            {"warnings", d.warnings}};
}

Json moving_object(const solver::MovingFigures& m)
{
    return {{"mms_g", known(m.Mms, 1e-3)},
            {"cms_mm_per_n", known(m.Cms, 1e-3)},
            {"rms_kg_per_s", known(m.Rms)},
            {"bl_n_per_a", known(m.Bl)},
            {"vas_l", m.Vas ? known(*m.Vas, 1e-3) : Json(nullptr)}};
}

} // namespace

std::string driver_json(const DriverReport& report)
{
    Json document = {
        {"program", "stillwall"}, {"version", program_version}, {"format", 1}, {"measured", report.understood}};
    document["figures"] = figures_object(report.figures);
    if (report.by_mass) document["by_added_mass"] = moving_object(*report.by_mass);
    if (report.by_box)
        document["by_box"] = {
            {"vas_l", known(report.by_box->Vas, 1e-3)},
            {"vas_by_frequency_l", known(report.by_box->Vas_by_frequency, 1e-3)},
            {"moving", report.by_box->moving ? moving_object(*report.by_box->moving) : Json(nullptr)}};
    if (report.other) document["second_unit"] = figures_object(*report.other);
    if (report.pair)
        document["second_against_first"] = {{"fs", known(report.pair->fs)},
                                            {"zmax", known(report.pair->Zmax)},
                                            {"re", known(report.pair->Re)},
                                            {"qts", known(report.pair->Qts)},
                                            {"largest_curve", finite(report.pair->largest_curve, "a ratio")},
                                            {"largest_curve_hz", report.pair->largest_curve_Hz}};
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
