// Filters by their names against closed forms, lists of points, and where a list's slope runs away.

#include "solver/drive/crossover.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Complex = std::complex<double>;
using Kind = CrossoverFilter::Kind;
using solver::crossover_gain;
using solver::filter_gain;

namespace {

constexpr double pi = std::numbers::pi;
// Tolerance: round-off of a dozen multiplications, a logarithm or a power.
constexpr double round_off = 1e-12;

double in_dB(Complex gain)
{
    return 20 * std::log10(std::abs(gain));
}

CrossoverFilter filter(Kind kind, bool is_low_pass, int order)
{
    return {kind, is_low_pass, 2200, order};
}

WrittenWay way_of(std::vector<CrossoverPoint> points)
{
    WrittenWay way;
    way.crossover = std::move(points);
    return way;
}

} // namespace

TEST_CASE("A Butterworth has half the power at its frequency and falls by its order", "[sound]")
{
    for (int n = 1; n <= 4; ++n)
        for (const bool is_low : {true, false}) {
            CAPTURE(n, is_low);
            const CrossoverFilter f = filter(Kind::Butterworth, is_low, n);
            // Reference: |H|² = 1/(1 + x^2n) with x = f/f_c of a low-pass, f_c/f of a high-pass.
            for (const double x : {0.01, 0.3, 1.0, 2.0, 50.0}) {
                const Complex H = filter_gain(f, is_low ? 2200 * x : 2200 / x);
                CHECK_THAT(std::norm(H), WithinRel(1 / (1 + std::pow(x, 2 * n)), 1e-11));
            }
            // Reference: 20 n log10 2 dB in the octave. Tolerance: the 1 beside x^2n, 4.34 x^−2n dB with x 1000.
            const double far = is_low ? 2.2e6 : 2.2, further = is_low ? 4.4e6 : 1.1;
            CHECK_THAT(in_dB(filter_gain(f, far)) - in_dB(filter_gain(f, further)),
                       WithinAbs(20 * n * std::log10(2), 5e-6));
        }
}

TEST_CASE("Phases of Butterworths", "[sound]")
{
    // Reference: second order, H = 1/(1 − x² + j√2 x): phase −atan2(√2 x, 1 − x²); the high-pass is −x² times that.
    for (const double x : {0.1, 0.5, 1.0, 3.0}) {
        const Complex low(1.0 / Complex(1 - x * x, std::numbers::sqrt2 * x));
        CHECK(std::abs(filter_gain(filter(Kind::Butterworth, true, 2), 2200 * x) - low) < round_off);
        CHECK(std::abs(filter_gain(filter(Kind::Butterworth, false, 2), 2200 * x) + x * x * low) < round_off);
    }
    // Reference: at its frequency a Butterworth of order n has turned by n · 45°, the low-pass back, the high-pass on.
    for (int n = 1; n <= 4; ++n) {
        const Complex low = filter_gain(filter(Kind::Butterworth, true, n), 2200);
        const Complex high = filter_gain(filter(Kind::Butterworth, false, n), 2200);
        CHECK(std::abs(low - std::polar(std::sqrt(0.5), -n * pi / 4)) < round_off);
        CHECK(std::abs(high - std::polar(std::sqrt(0.5), n * pi / 4)) < round_off);
    }
}

TEST_CASE("Low-pass and high-pass of Linkwitz and Riley add up to a flat level", "[sound]")
{
    for (const int n : {2, 4, 6, 8}) {
        // Reference: −6 dB each, exactly one half; orders 4 and 8 add, 2 and 6 subtract.
        const double sign = n % 4 == 0 ? 1 : -1;
        const CrossoverFilter low = filter(Kind::LinkwitzRiley, true, n), high = filter(Kind::LinkwitzRiley, false, n);
        CHECK_THAT(std::abs(filter_gain(low, 2200)), WithinRel(0.5, round_off));
        CHECK_THAT(std::abs(filter_gain(high, 2200)), WithinRel(0.5, round_off));
        for (const double f : {20.0, 700.0, 2200.0, 5000.0, 20e3})
            CHECK_THAT(std::abs(filter_gain(low, f) + sign * filter_gain(high, f)), WithinRel(1, round_off));
    }
    // Reference: fourth order, |H| = 1/(1 + x⁴), by hand at x 2.
    CHECK_THAT(std::abs(filter_gain(filter(Kind::LinkwitzRiley, true, 4), 4400)), WithinRel(1 / 17.0, round_off));
    CHECK_THAT(std::abs(filter_gain(filter(Kind::LinkwitzRiley, false, 4), 1100)), WithinRel(1 / 17.0, round_off));
}

TEST_CASE("Several filters, gain and delay multiply", "[sound]")
{
    WrittenWay way;
    way.filters = {{Kind::Butterworth, false, 80, 2}, {Kind::LinkwitzRiley, true, 2200, 4}};
    way.gain_dB = -6;
    way.delay_s = 1e-4;
    const double f = 300;
    // Reference: the product by hand, −6 dB and −2π f τ.
    const Complex expected = filter_gain(way.filters[0], f) * filter_gain(way.filters[1], f) * std::pow(10, -0.3) *
                             std::exp(Complex(0, -2 * pi * f * 1e-4));
    CHECK(std::abs(crossover_gain(way, f) - expected) < round_off);
    CHECK(crossover_gain(WrittenWay{}, 50) == Complex(1, 0));
}

TEST_CASE("A crossover table is read in decibels and phase over the logarithm of frequency", "[sound]")
{
    const WrittenWay table = way_of({{100, 0, 0}, {1000, -20, -1}});
    // Reference: −20 dB and −1 rad to the decade, by hand, also beyond the table's ends.
    CHECK_THAT(std::abs(crossover_gain(table, 100)), WithinRel(1, round_off));
    const Complex middle = crossover_gain(table, std::sqrt(1e5));
    CHECK_THAT(std::abs(middle), WithinRel(std::pow(10, -0.5), round_off));
    CHECK_THAT(std::arg(middle), WithinRel(-0.5, round_off));
    CHECK_THAT(std::abs(crossover_gain(table, 10000)), WithinRel(0.01, round_off)); // the slope goes on
    CHECK_THAT(std::arg(crossover_gain(table, 10000)), WithinRel(-1, round_off));
    CHECK_THAT(std::abs(crossover_gain(table, 10)), WithinRel(10, round_off));
}

TEST_CASE("Slopes that lift a way beyond its list are found with their decibels", "[sound]")
{
    // Reference: −20 dB to the decade, by hand: 100 Hz to 10 Hz +20 dB.
    const auto rises = solver::crossover_rises(way_of({{100, 0, 0}, {1000, -20, -1}}), 10, 5000);
    REQUIRE(rises.size() == 1);
    CHECK(rises[0].end_Hz == 100);
    CHECK(rises[0].edge_Hz == 10);
    CHECK_THAT(rises[0].dB, WithinRel(20, round_off));
    const auto above = solver::crossover_rises(way_of({{100, -30, 0}, {1000, -10, -1}}), 10, 5000);
    REQUIRE(above.size() == 1);
    CHECK(above[0].end_Hz == 1000);
    CHECK_THAT(above[0].dB, WithinRel(20 * std::log10(5), round_off));
    CHECK(solver::crossover_rises(way_of({{100, 0, 0}, {1000, -20, -1}}), 100, 5000).empty()); // not in the band
    CHECK(solver::crossover_rises(way_of({{100, 0, 0}, {200, 0, 0}, {1000, -20, 0}}), 10, 5000).empty());
    CHECK(solver::crossover_rises(way_of({{100, 3, 0}}), 10, 5000).empty()); // the same level everywhere
}
