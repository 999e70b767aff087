#include "viz/internal/colour_map.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace stillwall::viz;
using Triple = std::array<double, 3>;

namespace {

Triple linear(const Rgb& colour)
{
    Triple result{};
    for (std::size_t c = 0; c < 3; ++c) {
        const double s = colour[c] / 255.0;
        result[c] = s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
    }
    return result;
}

/// sRGB (linear) to CIELAB under D65; CIE 15 and IEC 61966-2-1.
Triple lab(const Triple& rgb)
{
    const auto f = [](double t) { return t > 216.0 / 24389.0 ? std::cbrt(t) : (24389.0 / 27.0 * t + 16) / 116; };
    const double x = f((0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2]) / 0.95047);
    const double y = f(0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2]);
    const double z = f((0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2]) / 1.08883);
    return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

double lightness(double value)
{
    return lab(linear(diverging_colour(value)))[0];
}

Triple seen_with(const std::array<Triple, 3>& deficiency, const Rgb& colour)
{
    const Triple rgb = linear(colour);
    Triple seen{};
    for (std::size_t i = 0; i < 3; ++i)
        seen[i] =
            std::clamp(deficiency[i][0] * rgb[0] + deficiency[i][1] * rgb[1] + deficiency[i][2] * rgb[2], 0.0, 1.0);
    return lab(seen);
}

double distance(const Triple& a, const Triple& b)
{
    return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

} // namespace

TEST_CASE("lightness falls evenly from the middle to both ends", "[viz][colour]")
{
    for (int i = 1; i <= 20; ++i) {
        const double now = i / 20.0, before = (i - 1) / 20.0;
        CAPTURE(now, lightness(now), lightness(-now));
        // Reference: the map's own promise, L* = 95 − 58 |value|.
        // Tolerance: 1.5 of 100: rounding to 8 bits, and the deep blue end is clipped slightly to sRGB.
        CHECK_THAT(lightness(now), Catch::Matchers::WithinAbs(95 - 58 * now, 1.5));
        CHECK_THAT(lightness(-now), Catch::Matchers::WithinAbs(95 - 58 * now, 1.5));
        CHECK(lightness(now) < lightness(before));
        CHECK(lightness(-now) < lightness(-before));
    }
}

TEST_CASE("inward and outward stay apart for dichromats", "[viz][colour]")
{
    // Reference: simulation matrices for linear sRGB at severity 1 of Machado, Oliveira and Fernandes,
    //   IEEE Trans. Vis. Comput. Graph. 15(6) (2009) 1291-1298; numbers compared with several open copies.
    const std::array<Triple, 3> protan{
        {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}};
    const std::array<Triple, 3> deutan{
        {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}};
    const std::array<Triple, 3> tritan{
        {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}};
    for (const auto& deficiency : {protan, deutan, tritan})
        for (const double value : {0.25, 0.5, 0.75, 1.0}) {
            const double apart = distance(seen_with(deficiency, diverging_colour(value)),
                                          seen_with(deficiency, diverging_colour(-value)));
            CAPTURE(value, apart);
            // Tolerance: a CIELAB distance of 10 is plain at a glance (about 2.3 is the just noticeable
            // difference, Mahy et al. 1994, from memory); at a quarter of the range the map must still have twice that.
            CHECK(apart > 20);
        }
}

TEST_CASE("values beyond the ends take the ends' colours", "[viz][colour]")
{
    CHECK(diverging_colour(7) == diverging_colour(1));
    CHECK(diverging_colour(-7) == diverging_colour(-1));
    CHECK(diverging_colour(1) != diverging_colour(0.97));
}

TEST_CASE("shading scales all three parts", "[viz][colour]")
{
    CHECK(shaded({200, 100, 50}, 0.5) == Rgb{100, 50, 25});
    CHECK(shaded({200, 100, 50}, 1) == Rgb{200, 100, 50});
}
