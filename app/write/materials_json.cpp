#include "app/write/materials_json.h"

#include "app/write/finite.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json figure(const char* name, const char* unit, const Quantity& quantity)
{
    return {{"figure", name},
            {"unit", unit},
            {"value", finite(quantity.value, "a material's figure")},
            {"low", finite(quantity.low, "a material's figure")},
            {"high", finite(quantity.high, "a material's figure")},
            {"source", quantity.source},
            {"confirmed", quantity.confirmed}};
}

Json figures(const Material& m)
{
    Json list = Json::array();
    if (m.is_isotropic) {
        list.push_back(figure("modulus", "Pa", m.E1));
        list.push_back(figure("Poisson's ratio", "", m.nu12));
    } else {
        list.push_back(figure("modulus along", "Pa", m.E1));
        list.push_back(figure("modulus across", "Pa", m.E2));
        list.push_back(figure("shear modulus in the plane", "Pa", m.G12));
        list.push_back(figure("shear modulus through, along", "Pa", m.G13));
        list.push_back(figure("shear modulus through, across", "Pa", m.G23));
    }
    list.push_back(figure("density", "kg/m3", m.rho));
    list.push_back(figure("loss factor", "", m.eta));
    return list;
}

/// Of a soft layer: its figures over temperature and frequency.
Json table(const Material& m)
{
    Json list = Json::array();
    for (const DampingPoint& point : m.damping)
        list.push_back({{"temperature_c", point.temperature},
                        {"frequency_hz", point.frequency},
                        {"figures", {figure("shear modulus", "Pa", point.G), figure("loss factor", "", point.eta)}}});
    return list;
}

} // namespace

Json materials_json(const Cabinet& cabinet)
{
    Json list = Json::array();
    for (const Material& m : cabinet.materials)
        list.push_back({{"name", m.name},
                        {"title", m.title},
                        {"caution", m.caution},
                        {"figures", figures(m)},
                        {"table", table(m)}});
    return list;
}

} // namespace stillwall::app
