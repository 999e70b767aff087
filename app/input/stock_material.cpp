#include "app/input/stock_material.h"

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

double square_off(double value, const Quantity& figure)
{
    if (!(value > 0)) return 0;
    constexpr double least_width = 0.05; // a stock told without a range is not infinitely far from all others
    const double width = std::max(0.5 * std::log(figure.high / figure.low), least_width);
    return std::pow(std::log(value / figure.value) / width, 2);
}

} // namespace

StockSymmetry symmetry_of(const Stock& stock)
{
    if (stock.plywood) return StockSymmetry::Grain;
    const Material& m = stock.classes.front().material;
    if (m.is_isotropic) return StockSymmetry::Isotropic;
    // Stocks that are alike in their plane have it from one figure for both axes, equal to the last bit.
    const bool is_alike = m.E1.value == m.E2.value && m.G13.value == m.G23.value && m.nu13.value == m.nu23.value;
    return is_alike ? StockSymmetry::InPlane : StockSymmetry::Grain;
}

double made_thickness(const Stock& stock, double wanted)
{
    if (!stock.plywood) {
        const double low = stock.info.thinnest, high = stock.info.thickest;
        return wanted > 0 ? std::clamp(wanted, low, high) : 0.5 * (low + high);
    }
    const std::vector<double>& all = stock.info.thicknesses;
    if (!(wanted > 0)) return all[all.size() / 2];
    return *std::min_element(all.begin(), all.end(),
                             [&](double a, double b) { return std::abs(a - wanted) < std::abs(b - wanted); });
}

double distance_to(const MaterialLibrary& library, const Stock& stock, const BoardLook& look)
{
    const Material m = board_material(library, stock.info.name, made_thickness(stock, look.thickness));
    return square_off(look.E1, m.E1) + square_off(look.E2, m.E2) + square_off(look.rho, m.rho);
}

} // namespace stillwall::app
