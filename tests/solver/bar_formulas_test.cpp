// Formulas of bars. References are computed here by other means than in the program (Ritz series, sums) or published.

#include "mesh/cabinet/error.h"
#include "tests/solver/strip_ritz.h"

#include <catch2/catch.hpp>

#include <utility>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using ritz::panel_bar;

namespace {

constexpr double pi = std::numbers::pi;

const Bar steel_bar{0.150, 0.020, 0.005, 7850 * 0.150 * 0.020 * 0.005};
const Bar aluminium_bar{0.100, 0.020, 0.010, 2700 * 0.100 * 0.020 * 0.010};

} // namespace

TEST_CASE("bending numbers of a slender bar are the roots of the textbooks", "[solver][measured][reference]")
{
    // Reference: roots of cos x cosh x = ±1. Tolerance: rounding of the bisection.
    const double free_free[] = {4.730040744863, 7.853204624096, 10.995607838002, 14.137165491257};
    const double clamped_free[] = {1.875104068712, 4.694091132974, 7.854757438238, 10.995540734875};
    for (int n = 1; n <= 4; ++n) {
        CAPTURE(n);
        CHECK_THAT(std::sqrt(bending_number(BarEnds::FreeFree, n, 0, 2.6)), WithinRel(free_free[n - 1], 1e-11));
        CHECK_THAT(std::sqrt(bending_number(BarEnds::ClampedFree, n, 0, 2.6)), WithinRel(clamped_free[n - 1], 1e-11));
    }
}

TEST_CASE("E1876 and Timoshenko's beam on three worked bars", "[solver][measured][reference]")
{
    // Reference: bars worked out apart from this program (E, ν, frequency without shear, by E1876's formula, by
    // Timoshenko with the shear factor 5/6 or Cowper's). Tolerances: the last digit printed there; formula and theory
    // differ by 2e-5, 2e-4, 1e-5.
    struct Case
    {
        Bar bar;
        double E, nu, f_euler, f_astm, factor, f_timoshenko, agree;
    };
    const std::vector<Case> cases{{steel_bar, 210e9, 0.29, 1181.467, 1176.739, 1.007961, 1176.715, 1e-4},
                                  {aluminium_bar, 70e9, 0.33, 5233.912, 5054.385, 1.072203, 5053.32, 6e-4},
                                  {panel_bar, 3.5e9, 0.3, 262.356, 260.455, 1.014563, 260.455, 3e-4}};
    for (const Case& c : cases) {
        CAPTURE(c.E);
        CHECK_THAT(astm_bending_factor(c.bar.thickness / c.bar.length, c.nu), WithinRel(c.factor, 1e-6));
        CHECK_THAT(astm_bending_modulus(c.bar, c.f_astm, c.nu), WithinRel(c.E, 2e-6));
        CHECK_THAT(bending_modulus({c.bar.length, c.bar.width, 1e-9, c.bar.mass}, BarEnds::FreeFree, 1, c.f_euler, 0) *
                       std::pow(1e-9 / c.bar.thickness, 3),
                   WithinRel(c.E, 2e-6));
        const double ratio = 2 * (1 + c.nu);
        // E goes with f²: twice the frequency's agreement.
        CHECK_THAT(bending_modulus(c.bar, BarEnds::FreeFree, 1, c.f_timoshenko, ratio), WithinRel(c.E, c.agree));
        CHECK_THAT(bending_modulus(c.bar, BarEnds::FreeFree, 1, c.f_astm, ratio), WithinRel(c.E, 2 * c.agree));
    }
}

TEST_CASE("bending with shear agrees with a Ritz series", "[solver][measured]")
{
    // Reference: series of 18 Legendre polynomials each for deflection and rotation. Tolerance: both are exact;
    // rounding.
    for (const BarEnds ends : {BarEnds::FreeFree, BarEnds::ClampedFree})
        for (const double thickness : {0.004, 0.018, 0.060})
            for (const double ratio : {0.5, 2.6, 16.0, 60.0}) {
                Bar bar = panel_bar;
                bar.thickness = thickness;
                const double E = 3.5e9;
                const std::vector<double> f = ritz::bending_Hz(bar, ends, E, E / ratio);
                for (int n = 1; n <= 4; ++n) {
                    CAPTURE(static_cast<int>(ends), thickness, ratio, n);
                    CHECK_THAT(bending_modulus(bar, ends, n, f[static_cast<std::size_t>(n - 1)], ratio),
                               WithinRel(E, 1e-6));
                }
            }
}

TEST_CASE("torsion constant and torsion modes", "[solver][measured][reference]")
{
    // Reference: table in Timoshenko & Goodier, Theory of Elasticity, art. 109 (from memory). Tolerance: its last
    // digit.
    const std::vector<std::pair<double, double>> table{{1, 0.1406}, {1.5, 0.196}, {2, 0.229},
                                                       {3, 0.263},  {5, 0.291},   {10, 0.312}};
    for (const auto& [ratio, beta] : table) {
        CAPTURE(ratio);
        CHECK_THAT(torsion_constant(ratio), WithinAbs(beta, ratio == 1 ? 5e-5 : 5.1e-4));
        // The rectangle does not know which side is called its width: β b t³ stays.
        CHECK_THAT(torsion_constant(1 / ratio) * ratio * ratio, WithinRel(torsion_constant(ratio), 1e-12));
    }
    // Reference: Ritz series with warping; G_t = G: one modulus. Tolerance: rounding.
    const double E = 3.5e9, G = 1.3e9, GJ = G * 0.05 * std::pow(0.018, 3) * torsion_constant(0.05 / 0.018);
    const std::vector<double> f = ritz::torsion_Hz(panel_bar, E, GJ);
    for (int n = 1; n <= 4; ++n) {
        CAPTURE(n);
        CHECK_THAT(torsion_modulus(panel_bar, n, f[static_cast<std::size_t>(n - 1)], E, std::nullopt),
                   WithinRel(G, 1e-6));
        CHECK_THAT(torsion_modulus(panel_bar, n, f[static_cast<std::size_t>(n - 1)], E, G), WithinRel(G, 1e-6));
    }
    // E1876's B and A are a fit (from memory) and leave out the bending of the warping, about 1 % here.
    CHECK_THAT(astm_torsion_modulus(panel_bar, f[0]), WithinRel(G, 0.02));
}

TEST_CASE("orthotropic torsion: the soft direction through the thickness counts", "[solver][measured]")
{
    // Reference: the section of a plain lay-up, sheared by two moduli, on a finite-difference grid for Prandtl's
    // function: φ_zz / G_b + φ_yy / G_t = −2, G J = 2 ∫ φ. Tolerance: second-order grid of 60 × 60 cells, error about
    // (π/60)²/4 = 0.07 %.
    constexpr int n = 60;
    constexpr double b = 0.05, t = 0.018, G_b = 1.3e9, G_t = 0.2e9;
    const double hy = b / n, hz = t / n;
    // Separable: eigenvalues of the one-dimensional grids are known, the solution is a double sine sum.
    double sum = 0;
    for (int i = 1; i < n; i += 2)
        for (int j = 1; j < n; j += 2) {
            const double along = 4 / (hy * hy) * std::pow(std::sin(i * pi / (2 * n)), 2) / G_t;
            const double through = 4 / (hz * hz) * std::pow(std::sin(j * pi / (2 * n)), 2) / G_b;
            const double mean = 1 / std::tan(i * pi / (2 * n)) / std::tan(j * pi / (2 * n)) / (n * n); // of both sines
            sum += 4 * 2 * mean * mean / (along + through);
        }
    const double GJ = 2 * b * t * sum;
    CHECK_THAT(G_b * b * t * t * t * torsion_constant(b / t * std::sqrt(G_t / G_b)), WithinRel(GJ, 0.002));
    // And back from the frequency.
    const double f = ritz::torsion_Hz(panel_bar, 3.3e9, GJ)[0];
    CHECK_THAT(torsion_modulus(panel_bar, 1, f, 3.3e9, G_t),
               WithinRel(G_b, 0.006)); // G_b is some 2.5 times as sensitive as G J
}

TEST_CASE("three-point bending as in EN 310", "[solver][measured][reference]")
{
    // Reference: worked by hand: 0.36³ · (100 / 0.0007) / (4 · 0.05 · 0.018³) = 5.71429 GPa; shear 1.2 · 15 · (18/360)²
    // = 4.5 %. Tolerance: eight digits by hand.
    CHECK_THAT(three_point_modulus(0.36, 0.05, 0.018, 100 / 0.7e-3), WithinRel(5714.2857e6, 1e-7));
    CHECK_THAT(three_point_shear_share(0.018 / 0.36, 15), WithinRel(0.045, 1e-12));
}

TEST_CASE("four ways of reading the same damping", "[solver][measured]")
{
    // Reference: an oscillator of 200 Hz with a loss factor of 0.02 loses exp(−π f η t) in amplitude. Tolerance:
    // rounding.
    const double f = 200, eta = 0.02;
    const double t60 = std::log(1000.0) / (pi * f * eta);
    CHECK_THAT(t60, WithinRel(2.2 / (f * eta), 1e-3)); // the rule of thumb
    CHECK_THAT(loss_of_decay(f, 60, t60), WithinRel(eta, 1e-12));
    CHECK_THAT(loss_of_decay(f, 20, t60 / 3), WithinRel(eta, 1e-12));
    CHECK_THAT(loss_of_decrement(std::log(std::exp(pi * eta))), WithinRel(eta, 1e-12));
    CHECK_THAT(loss_of_bandwidth(f, 4), WithinRel(eta, 1e-12));
}

TEST_CASE("bar formulas refuse what lies outside them", "[solver][measured][errors]")
{
    CHECK_THROWS_AS(bending_number(BarEnds::FreeFree, 0, 0.05, 2.6), DomainError);
    CHECK_THROWS_AS(bending_number(BarEnds::FreeFree, 1, 0.3, 2.6), DomainError);
    CHECK_THROWS_AS(bending_number(BarEnds::FreeFree, 6, 0.25, 400), DomainError); // beyond the cut-off
    CHECK_THROWS_AS(torsion_modulus(panel_bar, 1, 5000, 3e9, 0.2e9), DomainError);
    CHECK_THROWS_AS(torsion_constant(0), DomainError);
}
