// A port as a line: mass, losses, flares, resonances.
#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"
#include "solver/air/port.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;
constexpr Complex j{0, 1};
const Air air = air_at(20);
/// By hand from Sutherland's law: 1.716e-5 (293.15/273)^1.5 (384/404.15) = 1.8142e-5 Pa·s.
const double nu = 1.8142e-5 / air.density;

Port round_port(double length, double diameter, double flare = 0)
{
    return {length, pi / 4 * diameter * diameter, pi * diameter, flare};
}

/// 2 I₁(z)/(z I₀(z)) by the power series, in long double: good to |z| = 60 on the diagonal.
Complex bessel_share(Complex z)
{
    using Long = std::complex<long double>;
    const Long q = Long(z) * Long(z) / 4.0L;
    Long term = 1, I0 = 0, I1 = 0; // I1 over z/2
    for (int k = 0; k < 400; ++k) {
        I0 += term;
        I1 += term / static_cast<long double>(k + 1);
        term *= q / static_cast<long double>((k + 1) * (k + 1));
    }
    return Complex(I1 / I0);
}

struct Tube
{
    Complex k, Zc;
};

/// Zwikker & Kosten's round tube of radius a.
Tube exact_tube(double f, double a)
{
    const double omega = 2 * pi * f, c = air.sound_speed;
    const Complex s = a * std::sqrt(j * omega / nu);
    const Complex density = air.density / (1.0 - bessel_share(s));
    const Complex stiffness = air.density * c * c / (1.0 + 0.4 * bessel_share(s * std::sqrt(0.71)));
    return {omega * std::sqrt(density / stiffness), std::sqrt(density * stiffness) / (pi * a * a)};
}

/// |Z| at the inner end, the outer one shut or without pressure.
double impedance(const Port& port, double f, bool is_shut)
{
    const PortLine line = port.at(f, air);
    return std::abs(is_shut ? line.Z11 : line.Z11 - line.Z12 * line.Z12 / line.Z22);
}

/// Frequency of least |Z| at the inner end between two frequencies, by golden section.
double resonance(const Port& port, double low, double high, bool is_shut)
{
    const double ratio = (std::sqrt(5.0) - 1) / 2;
    while (high - low > 1e-6 * high) {
        const double a = high - ratio * (high - low), b = low + ratio * (high - low);
        if (impedance(port, a, is_shut) < impedance(port, b, is_shut))
            high = b;
        else
            low = a;
    }
    return (low + high) / 2;
}

Opening opening_of(OpeningPlan::Shape shape, double width, double height, double corner = 0)
{
    Opening opening;
    opening.shape = shape;
    opening.width = width;
    opening.height = height;
    opening.corner_radius = corner;
    return opening;
}

} // namespace

TEST_CASE("a round port is the tube of Zwikker and Kosten", "[solver][air][reference]")
{
    for (const double diameter : {0.001, 0.006, 0.02, 0.07}) {
        for (const double f : {5.0, 40.0, 300.0, 1000.0}) {
            const double a = diameter / 2, L = 0.12;
            if (a * std::sqrt(2 * pi * f / nu) > 60) continue; // beyond the series
            const Tube tube = exact_tube(f, a);
            const PortLine line = round_port(L, diameter).at(f, air);
            CAPTURE(diameter, f);
            // Reference: exact_tube. Tolerance: round-off of the series, the asymptotic form's 3e-6 of F, ν by hand to
            // 5e-6.
            CHECK(std::abs(line.Z11 / (-j * tube.Zc / std::tan(tube.k * L)) - 1.0) < 1e-5);
            CHECK(std::abs(line.Z12 / (-j * tube.Zc / std::sin(tube.k * L)) - 1.0) < 1e-5);
            CHECK(std::abs(line.Z22 / line.Z11 - 1.0) < 1e-12);
        }
    }
}

TEST_CASE("in a wide port of any outline the losses are those of its wall's boundary layers", "[solver][air]")
{
    // Reference: boundary layers of thickness δ on a wall of perimeter P take (1 − j) δ P/2S of the section (first
    // order; Kirchhoff, 1868, from memory). Tolerance: of the next order, (δ P/2S)² = (2 share)² = 2.4e-4, most
    // cancels: measured 6e-6.
    const double f = 200, L = 0.15, S = 0.06 * 0.03, P = 2 * (0.06 + 0.03), omega = 2 * pi * f;
    const double delta = std::sqrt(2 * nu / omega), share = delta / 2 * P / (2 * S), heat = 0.4 / std::sqrt(0.71);
    const Complex k = omega / air.sound_speed * (1.0 + (1.0 - j) * share * (1 + heat));
    const Complex Zc = air.density * air.sound_speed / S * (1.0 + (1.0 - j) * share * (1 - heat));
    const PortLine line = Port(L, S, P, 0).at(f, air);
    CHECK(std::abs(line.Z12 / (-j * Zc / std::sin(k * L)) - 1.0) < 2e-5);
    CHECK(std::abs(line.Z11 / (-j * Zc / std::tan(k * L)) - 1.0) < 2e-5);
    CHECK(line.Z11.real() > 0);
}

TEST_CASE("at low frequency a port is a mass, a narrow one Poiseuille's drag, a shut one a spring",
          "[solver][air][reference]")
{
    // Reference: plug, boundary layers, Hagen and Poiseuille's drag and a spring of air, by hand beside each.
    // Tolerance: the next order, named there.
    const double L = 0.12, D = 0.07, S = pi / 4 * D * D;
    const Port port = round_port(L, D);
    CHECK_THAT(port.mass_over_density(), WithinRel(L / S, 1e-12));
    const double f = 40, omega = 2 * pi * f, delta_a = std::sqrt(2 * nu / omega) / (D / 2);
    const PortLine line = port.at(f, air);
    const Complex plug = line.Z11 - 2.0 * line.Z12 + line.Z22;
    // δ/a = 0.0099: the layers add that share of mass; next order δ²/a² · 3/2 and (kL)²/12 = 6e-4.
    CHECK_THAT(plug.imag() / (omega * air.density * L / S), WithinAbs(1 + delta_a, 1e-3));
    // By hand Q = ωM/R = (1 + δ/a)/(δ/a) = 102 for 70 × 120 mm at 40 Hz; next order 3/2 δ/a = 1.5 %.
    CHECK_THAT(plug.imag() / plug.real(), WithinRel((1 + delta_a) / delta_a, 0.02));
    CHECK_THAT(1 / delta_a, WithinAbs(101, 1));

    const double a = 5e-4; // [m] a pinhole at 1 Hz: a/δ = 0.23
    const PortLine narrow = round_port(0.01, 2 * a).at(1, air);
    const Complex drag = narrow.Z11 - 2.0 * narrow.Z12 + narrow.Z22;
    // Hagen-Poiseuille 8 μ L/(π a⁴) with 4/3 of the mass; next order (a/δ)⁴ = 3e-3 over
    // some hundred, measured 4e-5.
    CHECK_THAT(drag.real(), WithinRel(8 * 1.8142e-5 * 0.01 / (pi * std::pow(a, 4)), 1e-4));
    CHECK_THAT(drag.imag(), WithinRel(2 * pi * air.density * 0.01 / (pi * a * a) * 4 / 3, 1e-4));

    // Shut: ρc²/(jωV), softer by (γ − 1) δ_t/a = 0.4 · 0.0118 at 40 Hz; (kL)²/3 = 2.6e-3 stiffer; next order
    // 0.4 δ_t²/a² = 6e-5.
    const double spring = air.density * std::pow(air.sound_speed, 2) / (omega * L * S);
    const double kL = omega * L / air.sound_speed;
    CHECK_THAT(-line.Z11.imag() / spring, WithinAbs(1 - 0.4 * delta_a / std::sqrt(0.71) - kL * kL / 3, 1e-4));
    CHECK(line.Z11.real() > 0);
}

TEST_CASE("organ pipe: resonances open and shut", "[solver][air][reference]")
{
    // Reference: n c/2L and (2n − 1) c/4L, slowed by the boundary layers. Tolerance: the next order, the square of the
    // 0.2 … 0.4 % by which they fall: 2e-5.
    const double L = 0.5, D = 0.05;
    const Port pipe = round_port(L, D);
    for (int n = 1; n <= 3; ++n) {
        const double open = n * air.sound_speed / (2 * L), shut = (2 * n - 1) * air.sound_speed / (4 * L);
        const auto slowed = [&](double f) { // k grows by (δ/2a)(1 + (γ − 1)/√Pr), so f falls
            return f / (1 + std::sqrt(2 * nu / (2 * pi * f)) / D * (1 + 0.4 / std::sqrt(0.71)));
        };
        CAPTURE(n);
        CHECK_THAT(resonance(pipe, 0.95 * open, 1.05 * open, false), WithinRel(slowed(open), 3e-5));
        CHECK_THAT(resonance(pipe, 0.95 * shut, 1.05 * shut, true), WithinRel(slowed(shut), 3e-5));
    }
}

TEST_CASE("a flare lessens the mass by its integral", "[solver][air]")
{
    const double L = 0.14, D = 0.07, r = 0.025, S = pi / 4 * D * D, P = pi * D;
    const Port port = round_port(L, D, r);
    // Reference: ∫ dx/S of radius a + y(x), by the midpoint rule on a fine grid of angles: an independent sum.
    // Tolerance: of the mass, the product's pieces of 5e-7; of the plug, δ²/a² · 3/2 + (kL)²/12 = 7e-4, and in the
    // flares, which are wider, the layers weigh less.
    double mass = (L - 2 * r) / S;
    constexpr int n = 20000;
    for (int i = 0; i < n; ++i) {
        const double phi = pi / 2 * (i + 0.5) / n, dx = r * std::sin(phi) * pi / 2 / n;
        const double area = pi * std::pow(D / 2 + r * (1 - std::sin(phi)), 2);
        mass += 2 * dx / area;
    }
    CHECK_THAT(port.mass_over_density(), WithinRel(mass, 1e-6));
    CHECK(mass < L / S * 0.95); // the flare matters
    const PortLine line = port.at(30, air);
    CHECK(std::abs(line.Z11 / line.Z22 - 1.0) < 1e-12); // two equal ends
    const Complex plug = line.Z11 - 2.0 * line.Z12 + line.Z22;
    const double delta_a = std::sqrt(2 * nu / (2 * pi * 30)) * P / (2 * S);
    CHECK_THAT(plug.imag() / (2 * pi * 30 * air.density * mass), WithinAbs(1 + delta_a, 1e-3));
    // A flare all the way: no throat is left, and the line goes on.
    CHECK(round_port(0.05, D, 0.025).mass_over_density() < 0.05 / S);
}

TEST_CASE("no port gives off energy", "[solver][air]")
{
    for (const double flare : {0.0, 0.03}) {
        const Port port(0.2, 3e-3, 0.22, flare);
        for (double f = 5; f < 4000; f *= 1.1) {
            const PortLine line = port.at(f, air);
            CAPTURE(flare, f);
            const double a = line.Z11.real(), b = line.Z12.real(), d = line.Z22.real();
            CHECK(a > 0);
            CHECK(a * d - b * b > -1e-9 * a * d); // round-off where the ends move alike
        }
    }
}

TEST_CASE("a port takes its outline from the opening", "[solver][air]")
{
    // Exact: area and perimeter of each outline by hand.
    Board board;
    board.layup.plies = {{0, 0.018, 0}};
    using Shape = OpeningPlan::Shape;
    const auto check = [&](const Opening& opening, double area, double perimeter, double length) {
        const Port port = port_of(board, opening), same(length, area, perimeter, opening.insert.flare);
        CHECK_THAT(port.area(), WithinRel(area, 1e-12));
        CHECK_THAT(port.length(), WithinRel(length, 1e-12));
        const Complex a = port.at(100, air).Z11, b = same.at(100, air).Z11; // feels the perimeter in its losses
        CHECK(std::abs(a / b - 1.0) < 1e-12);
    };
    check(opening_of(Shape::Circle, 0.07, 0.07), pi * 0.035 * 0.035, pi * 0.07, 0.018);
    check(opening_of(Shape::Rectangle, 0.2, 0.03), 0.006, 0.46, 0.018);
    check(opening_of(Shape::Slot, 0.2, 0.03), 0.17 * 0.03 + pi * 0.015 * 0.015, 0.34 + pi * 0.03, 0.018);
    Opening rounded = opening_of(Shape::RoundedRectangle, 0.1, 0.05, 0.01);
    rounded.insert.kind = InsertPlan::Kind::Port;
    rounded.insert.port_length = 0.13;
    rounded.insert.flare = 0.02;
    check(rounded, 0.1 * 0.05 - (4 - pi) * 1e-4, 2 * 0.15 - (8 - 2 * pi) * 0.01, 0.13);
    rounded.insert.flare = 0.07; // more than half the length
    CHECK_THROWS_AS(port_of(board, rounded), DomainError);
    CHECK_THROWS_AS(Port(0, 1e-3, 0.2, 0), DomainError);
    CHECK_THROWS_AS(Port(0.1, 1e-3, 0.1, 0), DomainError); // less than a circle's
    CHECK_THROWS_AS(Port(0.1, 1e-3, 0.2, 0).at(0, air), DomainError);
}
