#include "solver/structure/section/damping.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::solver {
namespace {

Quantity mix(const Quantity& a, const Quantity& b, double t, bool is_log)
{
    const auto between = [&](double x, double y) {
        return is_log ? std::exp((1 - t) * std::log(x) + t * std::log(y)) : (1 - t) * x + t * y;
    };
    Quantity q = a;
    q.value = between(a.value, b.value);
    q.low = between(a.low, b.low);
    q.high = between(a.high, b.high);
    return q;
}

DampingPoint mix(const DampingPoint& a, const DampingPoint& b, double t)
{
    DampingPoint p = a;
    p.G = mix(a.G, b.G, t, true);
    p.eta = mix(a.eta, b.eta, t, false);
    return p;
}

/// Value at x on a chain of points sorted by `key`.
template <class Key> DampingPoint along(const std::vector<DampingPoint>& sorted, double x, const Key& key)
{
    if (x <= key(sorted.front())) return sorted.front();
    if (x >= key(sorted.back())) return sorted.back();
    const auto after = std::find_if(sorted.begin(), sorted.end(), [&](const DampingPoint& p) { return key(p) > x; });
    const auto before = after - 1;
    return mix(*before, *after, (x - key(*before)) / (key(*after) - key(*before)));
}

} // namespace

DampingPoint damping_at(const std::vector<DampingPoint>& points, double temperature_C, double f_Hz)
{
    if (points.empty()) throw DomainError("damping table without a point");
    std::map<double, std::vector<DampingPoint>> rows;
    for (const DampingPoint& p : points) rows[p.temperature].push_back(p);
    std::vector<DampingPoint> by_temperature;
    for (auto& [temperature, row] : rows) {
        std::sort(row.begin(), row.end(),
                  [](const DampingPoint& a, const DampingPoint& b) { return a.frequency < b.frequency; });
        by_temperature.push_back(
            along(row, std::log(f_Hz), [](const DampingPoint& p) { return std::log(p.frequency); }));
    }
    DampingPoint found = along(by_temperature, temperature_C, [](const DampingPoint& p) { return p.temperature; });
    found.temperature = temperature_C;
    found.frequency = f_Hz;
    return found;
}

bool depends_on_frequency(const Material& material)
{
    const auto& points = material.damping;
    return std::any_of(points.begin(), points.end(), [&](const DampingPoint& a) {
        return std::any_of(points.begin(), points.end(), [&](const DampingPoint& b) {
            return a.temperature == b.temperature && (a.G.value != b.G.value || a.eta.value != b.eta.value);
        });
    });
}

std::vector<Material> materials_at(const std::vector<Material>& materials, double temperature_C, double f_Hz)
{
    std::vector<Material> result = materials;
    for (Material& m : result) {
        if (m.damping.empty()) continue;
        const DampingPoint p = damping_at(m.damping, temperature_C, f_Hz);
        m.G12 = m.G13 = m.G23 = p.G;
        Quantity E = p.G;
        for (double* x : {&E.value, &E.low, &E.high}) *x *= 2 * (1 + m.nu12.value);
        m.E1 = m.E2 = m.E3 = E;
        m.eta = m.eta2 = p.eta;
    }
    return result;
}

} // namespace stillwall::solver
