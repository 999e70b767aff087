#pragma once
// The unit line −1…1: quadratic Lagrange polynomials and the three-point Gauss rule.

#include <array>

namespace stillwall {

/// Values and derivatives of the quadratic Lagrange polynomials on −1, 0, 1.
struct Line3
{
    std::array<double, 3> L, D;
    explicit Line3(double x) : L{x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2}, D{x - 0.5, -2 * x, x + 0.5} {}
};

/// Three-point Gauss rule, exact to the fifth power.
inline constexpr std::array<double, 3> gauss_x = {-0.774596669241483377, 0, 0.774596669241483377};
inline constexpr std::array<double, 3> gauss_w = {5.0 / 9, 8.0 / 9, 5.0 / 9};

} // namespace stillwall
