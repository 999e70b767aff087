#include "app/verbs/strip/strip_report.h"

#include "app/version.h"
#include "app/write/finite.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;
using solver::StripResult;

constexpr double GPa = 1e9;

Json known(const solver::Known& figure, double unit, std::string_view what)
{
    return {{"value", finite(figure.value / unit, what)}, {"error", finite(figure.error / unit, what)}};
}

const char* source_word(solver::RatioSource source)
{
    switch (source) {
    case solver::RatioSource::Fitted:
        return "fitted";
    case solver::RatioSource::Given:
        return "given";
    case solver::RatioSource::Torsion:
        return "torsion";
    case solver::RatioSource::Usual:
        return "assumed";
    case solver::RatioSource::Isotropic:
        return "isotropic";
    }
    return "";
}

Json modes_json(const PlacedStrip& strip, const StripResult& result)
{
    Json list = Json::array();
    for (std::size_t i = 0; i < strip.data.modes.size(); ++i) {
        const solver::ModeReading& mode = strip.data.modes[i];
        const solver::ModeOutcome& outcome = result.modes[i];
        list.push_back({{"kind", mode.is_torsion ? "torsion" : "bending"},
                        {"number", mode.number},
                        {"measured_hz", finite(mode.f.value, "a frequency")},
                        {"computed_hz", finite(outcome.f_model, "a computed frequency")},
                        {"loss_factor", outcome.loss ? Json(finite(*outcome.loss, "a loss factor")) : Json(nullptr)}});
    }
    return list;
}

void add_optional(Json& object, const StripResult& result)
{
    if (result.G_in) object["shear_modulus_in_plane_gpa"] = known(*result.G_in, GPa, "G in the plane");
    if (result.nu) object["poissons_ratio"] = known(*result.nu, 1, "Poisson's ratio");
    if (result.E_astm) object["youngs_modulus_astm_e1876_gpa"] = finite(*result.E_astm / GPa, "E by E1876");
    if (result.G_astm) object["shear_modulus_astm_e1876_gpa"] = finite(*result.G_astm / GPa, "G by E1876");
    if (result.loss)
        object["loss_factor"] = {{"low", finite(result.loss->low, "loss")},
                                 {"typical", finite(result.loss->value, "loss")},
                                 {"high", finite(result.loss->high, "loss")}};
    if (!result.bending_test) return;
    const solver::StaticOutcome& test = *result.bending_test;
    object["static_test"] = {{"apparent_modulus_gpa", finite(test.E_apparent / GPa, "static E")},
                             {"modulus_without_shear_gpa", finite(test.E / GPa, "static E")},
                             {"shear_share", finite(test.shear_share, "shear share")},
                             {"dynamic_over_static", test.dynamic_ratio
                                                         ? Json(finite(*test.dynamic_ratio, "dynamic over static"))
                                                         : Json(nullptr)}};
}

Json strip_object(const PlacedStrip& strip, const StripResult& result)
{
    Json object = {{"name", strip.name},
                   {"direction", direction_words(strip.direction)},
                   {"ends", strip.data.ends == solver::BarEnds::FreeFree ? "free" : "clamped"},
                   {"density_kg_per_m3", known(result.rho, 1, "density")},
                   {"youngs_modulus_gpa", known(result.E, GPa, "E")},
                   {"from_static_test", result.is_E_static},
                   {"youngs_over_shear_modulus", known(result.E_over_G, 1, "E/G")},
                   {"youngs_over_shear_source", source_word(result.ratio_source)},
                   {"shear_modulus_through_thickness_gpa", known(result.G_t, GPa, "G through the thickness")},
                   {"youngs_modulus_isotropic_gpa", known(result.E_isotropic, GPa, "E as if isotropic")}};
    add_optional(object, result);
    Json errors = Json::array();
    for (const solver::ErrorShare& share : result.E_errors)
        errors.push_back({{"input", share.input}, {"share_of_variance", finite(share.share, "an error share")}});
    object["youngs_modulus_errors"] = std::move(errors);
    object["modes"] = modes_json(strip, result);
    object["notes"] = strip_notes(strip, result);
    return object;
}

} // namespace

std::string strip_json(const StripReport& report, const MaterialEntry& entry)
{
    Json strips = Json::array();
    for (std::size_t i = 0; i < report.results.size(); ++i)
        strips.push_back(strip_object(report.plan.strips[i], report.results[i]));
    const Json document = {{"program", "stillwall"},
                           {"version", program_version},
                           {"format", 1},
                           {"name", report.plan.name},
                           {"strips", std::move(strips)},
                           {"material",
                            {{"name", entry.name},
                             {"rest_from_stock", entry.stock.empty() ? Json(nullptr) : Json(entry.stock)},
                             {"complete", entry.is_complete()},
                             {"yaml", material_yaml(report, entry)}}}};
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
