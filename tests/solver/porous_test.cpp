// Porous filling: Miki's figures, and a layer before a hard end, by formula and by finite elements.
#include "mesh/cabinet/error.h"
#include "solver/air/porous.h"
#include "tests/solver/air_duct.h"
#include "tests/solver/air_response.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <numbers>

using namespace stillwall;
using namespace stillwall::solver;
using namespace air_response;
using Catch::Matchers::WithinAbs;

namespace {

const Air air{1.2, 343};
const double z_air = air.density * air.sound_speed;
const std::array<double, 5> f_Hz = {125, 250, 500, 1000, 2000};

/// Normal-incidence absorption of 50 mm before a hard wall, Miki's model, ρ 1.2 kg/m³, c 343 m/s. Own computation in
/// Python (coefficients 0.070, 0.107, 0.109, 0.160), not published.
const std::map<double, std::array<double, 5>> layer_50_mm = {{5000, {0.0595, 0.1492, 0.3543, 0.7229, 0.9366}},
                                                             {10000, {0.0658, 0.1921, 0.4854, 0.8830, 0.9816}},
                                                             {20000, {0.0853, 0.2625, 0.6210, 0.9366, 0.9474}}};

Complex impedance_of(const Fluid& fluid)
{
    return std::sqrt(fluid.density * fluid.bulk);
}

Complex wave_number(const Fluid& fluid, double f)
{
    return 2 * std::numbers::pi * f * std::sqrt(fluid.density / fluid.bulk);
}

double absorption(Complex Z)
{
    return 1 - std::norm((Z - z_air) / (Z + z_air));
}

/// Surface impedance of a layer of one fluid before a hard wall.
Complex hard_backed(const Fluid& fluid, double f, double thickness)
{
    return -Complex(0, 1) * impedance_of(fluid) / std::tan(wave_number(fluid, f) * thickness);
}

/// Impedance p/u at x = 0 of a duct whose last 50 mm are filled.
/// @param is_fitted  the mesh is cut at the filling's face
Complex duct_impedance(double length, int n_cells, double sigma, double f, bool as_lining, bool is_fitted = false)
{
    constexpr double width = 0.02;
    AirMesh mesh = air_duct::duct(length, width, n_cells);
    const Cabinet cabinet = air_duct::ends(length, width);
    Filling filling;
    if (as_lining) {
        filling.board = 1;
        filling.thickness = 0.05;
    } else {
        filling.low = {length - 0.05, -1, -1};
        filling.high = {1, 1, 1};
    }
    if (is_fitted) mesh = fit_to_fillings(cabinet, std::move(mesh), {filling});
    const auto regions = assemble_regions(cabinet, mesh, {filling});
    const Eigen::VectorXd w = opening_input(cabinet, mesh, 0, 0);
    const Eigen::VectorXcd p = pressure(regions, {open_air(air), miki(f, sigma, air)}, f, w);
    return (w.cast<Complex>().transpose() * p).value() * width * width;
}

/// Seen through `way` of air.
Complex before(Complex Z, double way, double f)
{
    const Complex t = Complex(0, std::tan(2 * std::numbers::pi * f / air.sound_speed * way));
    return z_air * (Z + z_air * t) / (z_air + Z * t);
}

} // namespace

TEST_CASE("Miki's impedance and wave number", "[solver][air][reference]")
{
    // Reference: printed values (coefficients as published, four decimals) at X = f/σ.
    struct Row
    {
        double X;
        Complex Z, k;
    };
    const double sigma = 10000;
    for (const Row& row :
         {Row{0.025, {1.7204, -1.1012}, {2.0654, -1.5638}}, Row{0.05, {1.4649, -0.7106}, {1.6942, -1.0190}},
          Row{0.1, {1.3000, -0.4585}, {1.4523, -0.6639}}}) {
        const double f = row.X * sigma;
        const Fluid fluid = miki(f, sigma, air);
        CAPTURE(row.X);
        // Tolerance: half a unit of the last decimal, and a little for their own rounding.
        CHECK(std::abs(impedance_of(fluid) / z_air - row.Z) < 1e-4);
        CHECK(std::abs(wave_number(fluid, f) * air.sound_speed / (2 * std::numbers::pi * f) - row.k) < 1e-4);
    }
}

TEST_CASE("filling takes up energy at every frequency and becomes air without flow resistance", "[solver][air]")
{
    // Reference: passivity, and the limit of no flow resistance, air itself. Tolerance: by hand, Miki's term at X = f/σ
    // = 10⁹ is 0.3 · (10⁹)^−0.62 = 1e-6 of the density.
    for (double X = 1e-6; X < 1e4; X *= 1.5) {
        CAPTURE(X);
        const Fluid fluid = miki(1000 * X, 1000, air);
        CHECK(fluid.density.imag() < 0);
        CHECK(fluid.bulk.imag() >= 0);
        CHECK(fluid.bulk.real() > 0.7 * z_air * air.sound_speed); // never softer than isothermal air
        CHECK(fluid.bulk.real() < z_air * air.sound_speed);
    }
    const Fluid thin = miki(1000, 1e-6, air);
    CHECK(std::abs(thin.density / air.density - 1.0) < 2e-6);
    CHECK(std::abs(thin.bulk / open_air(air).bulk - 1.0) < 2e-6);
    CHECK_THROWS_AS(miki(0, 1000, air), DomainError);
    CHECK_THROWS_AS(miki(100, 0, air), DomainError);
    CHECK_THROWS_AS(miki(100, std::nan(""), air), DomainError);
}

TEST_CASE("a layer of 50 mm before a hard wall absorbs as the formula says", "[solver][air][reference]")
{
    // Reference: layer_50_mm. Tolerance: its four decimals.
    for (const auto& [sigma, alpha] : layer_50_mm) {
        for (std::size_t i = 0; i < f_Hz.size(); ++i) {
            CAPTURE(sigma, f_Hz[i]);
            CHECK_THAT(absorption(hard_backed(miki(f_Hz[i], sigma, air), f_Hz[i], 0.05)), WithinAbs(alpha[i], 1e-4));
        }
    }
}

TEST_CASE("a filled duct has the layer's impedance", "[solver][air][reference]")
{
    for (const auto& [sigma, alpha] : layer_50_mm) {
        for (std::size_t i = 0; i < f_Hz.size(); ++i) {
            CAPTURE(sigma, f_Hz[i]);
            const Complex exact = hard_backed(miki(f_Hz[i], sigma, air), f_Hz[i], 0.05);
            const Complex Z = duct_impedance(0.05, 8, sigma, f_Hz[i], false);
            // Reference: the layer's formula, and its printed absorption. Tolerance: quadratic elements of 6.25 mm err
            // by (kh)⁴/720 = 2.4e-5 at |k| = 58/m, 2 kHz; four decimals of the absorption.
            CHECK(std::abs(Z / exact - 1.0) < 3e-5);
            CHECK_THAT(absorption(Z), WithinAbs(alpha[i], 1e-4));
        }
    }
}

TEST_CASE("a lining whose face lies between elements or inside them", "[solver][air]")
{
    // Reference: the layer's formula seen through 100 mm of air. Tolerance: see each line.
    double worst = 0, worst_cut = 0, worst_cut_fine = 0, worst_fitted = 0;
    for (const double sigma : {5000.0, 20000.0}) {
        for (const double f : f_Hz) {
            const Complex exact = before(hard_backed(miki(f, sigma, air), f, 0.05), 0.10, f);
            const auto difference = [&](int n, bool is_fitted) {
                const Complex Z = duct_impedance(0.15, n, sigma, f, true, is_fitted);
                return std::abs((Z - exact) / (Z + z_air)); // as a share of the wave
            };
            worst = std::max(worst, difference(24, false));
            worst_cut = std::max(worst_cut, difference(7, false)); // 21.4 mm: the face lies 0.67 into an element
            worst_cut_fine = std::max(worst_cut_fine, difference(28, false)); // 5.4 mm, the same share
            worst_fitted = std::max(worst_fitted, difference(7, true));
        }
    }
    CAPTURE(worst, worst_cut, worst_cut_fine, worst_fitted);
    CHECK(worst < 2e-5); // on the elements' faces: (kh)⁴/720 = 2.4e-5 of the impedance; measured 7e-6 of the wave
    // Inside them the kink of the pressure is smeared, and the densities side by side weigh less than one after the
    // other: the lining seems thinner by a share of the element, first order in its size. Measured 0.061 and 0.0137.
    CHECK(worst_cut < 0.065);
    CHECK(worst_cut_fine < worst_cut / 4);
    // Cut at the face, elements of 21.4 mm are left with (kh)⁴/720 = 3e-3 of the impedance at |k| = 58/m, 2 kHz;
    // measured 1e-3 of the wave.
    CHECK(worst_fitted < 2e-3);
}
