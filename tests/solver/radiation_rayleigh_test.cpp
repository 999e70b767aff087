// Rayleigh's integral: baffled piston and the radiation efficiency of panel modes.

#include "mesh/cabinet/error.h"
#include "tests/solver/radiation_fixture.h"
#include "tests/solver/rayleigh.h"

#include <catch2/catch.hpp>

#include <complex>
#include <numbers>

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::Vector3d;
using namespace stillwall;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;
const Air unit_gas{1, 1};

/// Disc of radius 1: rings of trapezoids round a fan of triangles, blown up to the area π.
solver::PanelSurface disc(int n_rings, int n_sectors)
{
    const double r = std::sqrt(2 * pi / n_sectors / std::sin(2 * pi / n_sectors));
    std::vector<Vector3d> x{Vector3d::Zero()};
    std::vector<solver::PanelCorners> faces;
    for (int ring = 1; ring <= n_rings; ++ring) {
        for (int s = 0; s < n_sectors; ++s)
            x.push_back(r * ring / n_rings *
                        Vector3d(std::cos(2 * pi * s / n_sectors), std::sin(2 * pi * s / n_sectors), 0));
    }
    for (int ring = 0; ring < n_rings; ++ring) {
        for (int s = 0; s < n_sectors; ++s) {
            const int a = 1 + (ring - 1) * n_sectors + s, b = 1 + (ring - 1) * n_sectors + (s + 1) % n_sectors;
            if (ring == 0)
                faces.push_back({0, 1 + s, 1 + (s + 1) % n_sectors, -1});
            else
                faces.push_back({a, a + n_sectors, b + n_sectors, b});
        }
    }
    return solver::make_panel_surface(x, faces);
}

/// Rectangle a × b of n × n panels, with the velocity sin(mπx/a) sin(nπy/b) averaged over each panel.
struct Plate
{
    solver::PanelSurface surface;
    MatrixXcd velocity;

    Plate(double a, double b, int n, const std::vector<std::array<int, 2>>& modes)
    {
        std::vector<Vector3d> x;
        std::vector<solver::PanelCorners> faces;
        for (int i = 0; i <= n; ++i) {
            for (int k = 0; k <= n; ++k) x.emplace_back(a * i / n, b * k / n, 0);
        }
        for (int i = 0; i < n; ++i) {
            for (int k = 0; k < n; ++k) {
                const int p = i * (n + 1) + k;
                faces.push_back({p, p + n + 1, p + n + 2, p + 1});
            }
        }
        surface = solver::make_panel_surface(x, faces);
        velocity.resize(surface.size(), static_cast<Index>(modes.size()));
        const auto mean = [&](int m, int i) {
            return n * (std::cos(m * pi * i / n) - std::cos(m * pi * (i + 1) / n)) / (m * pi);
        };
        for (Index k = 0; k < velocity.cols(); ++k) {
            for (int i = 0; i < n; ++i) {
                for (int l = 0; l < n; ++l) velocity(i * n + l, k) = mean(modes[k][0], i) * mean(modes[k][1], l);
            }
        }
    }

    [[nodiscard]] Eigen::VectorXd efficiency(double k) const
    {
        return solver::radiation_efficiency(unit_gas, areas(surface), velocity,
                                            solver::baffled_power(surface, unit_gas, k / (2 * pi), velocity));
    }
};

/// A sine averaged over panels loses (mπ/n)²/24 of its amplitude along an axis, so its mean square loses (mπ/n)²/12.
/// The power loses nothing at low k, where only the volume flow counts, and as much as the mean square far above: σ
/// comes out high by between 0 and this.
double averaging_error(const std::array<int, 2>& mode, int n)
{
    return (mode[0] * mode[0] + mode[1] * mode[1]) * pi * pi / (12.0 * n * n);
}

} // namespace

TEST_CASE("baffled piston: impedance and pressure on the axis", "[solver][radiation][reference]")
{
    // Reference: R₁ = 1 − J₁(2ka)/ka, X₁ = H₁(2ka)/ka; on the axis 2|sin(k/2 (√(z²+a²) − z))| (Rayleigh; Kinsler et
    // al.). Tolerance 0.6 % of the impedance: means over panels of a/12, second order; 0.5 % on the axis.
    const solver::PanelSurface piston = disc(12, 48);
    const MatrixXcd velocity = MatrixXcd::Ones(piston.size(), 1);
    solver::Points centroids(3, piston.size());
    for (Index i = 0; i < piston.size(); ++i) centroids.col(i) = piston.panels[i].centroid;
    const double rows[][3] = {{0.1, 0.00499167, 0.08465654}, {0.5, 0.11989883, 0.39691467}, {1, 0.42327519, 0.64676373},
                              {2, 1.03302166, 0.53486333},   {3, 1.09222795, 0.15939175},   {5, 0.99130545, 0.1783665}};
    for (const auto& [ka, R1, X1] : rows) {
        const MatrixXcd p = solver::baffled_pressure(piston, unit_gas, ka / (2 * pi), velocity, centroids);
        const Complex z = p.col(0).cwiseProduct(areas(piston)).sum() / pi, exact(R1, X1);
        const double R_by_power = 2 * solver::baffled_power(piston, unit_gas, ka / (2 * pi), velocity)[0] / pi;
        CAPTURE(ka, z, exact, std::abs(z / exact - 1.0), R_by_power / R1 - 1);
        CHECK_THAT(std::abs(z / exact - 1.0), WithinAbs(0, 6e-3));
        CHECK_THAT(z.real(), WithinRel(R1, 6e-3));
        CHECK_THAT(R_by_power, WithinRel(R1, 6e-3));
    }
    solver::Points axis(3, 4);
    axis << 0, 0, 0, 0, 0, 0, 0, 0, 0.5, 1, 2, 5;
    const double on_axis[][5] = {{5, 1.999339, 1.72027, 1.113004, 0.490056},
                                 {10, 0.1028, 1.754905, 1.849471, 0.950235}};
    for (const auto& row : on_axis) {
        const MatrixXcd p = solver::baffled_pressure(piston, unit_gas, row[0] / (2 * pi), velocity, axis);
        for (Index i = 0; i < axis.cols(); ++i) {
            CAPTURE(row[0], axis(2, i), std::abs(p(i, 0)), row[i + 1]);
            CHECK_THAT(std::abs(p(i, 0)), WithinAbs(row[i + 1], 5e-3));
        }
    }
}

TEST_CASE("radiation efficiency of a simply supported square panel in a baffle", "[solver][radiation][reference]")
{
    // Reference: Wallace's integral (J. Acoust. Soc. Am. 51 (1972) 946), evaluated by 300 × 300 Gauss points, γ =
    // k/k_b. Tolerance: see averaging_error; 1e-3 more for the panels' finite size beside a wavelength (kh up to 0.7).
    const std::vector<std::array<int, 2>> modes{{1, 1}, {1, 2}, {2, 2}, {1, 3}, {2, 3}, {3, 3}};
    const double gammas[] = {0.1, 0.3, 0.5, 0.8, 1.0, 1.2, 2.0};
    const double sigma[6][7] = {{0.020513, 0.17566, 0.44203, 0.89317, 1.1291, 1.2685, 1.1631},
                                {0.00052296, 0.037766, 0.23166, 0.87041, 1.2834, 1.472, 1.1459},
                                {1.3111e-05, 0.008004, 0.12003, 0.83505, 1.4107, 1.6015, 1.1608},
                                {0.010475, 0.04716, 0.094748, 0.76224, 1.4226, 1.6519, 1.1609},
                                {0.00036659, 0.015789, 0.068464, 0.73373, 1.5231, 1.711, 1.1519},
                                {0.001742, 0.0030186, 0.043212, 0.66514, 1.6215, 1.7619, 1.1564}};
    const Plate plate(1, 1, 40, modes);
    for (std::size_t m = 0; m < modes.size(); ++m) {
        for (std::size_t g = 0; g < std::size(gammas); ++g) {
            const double k_b = pi * std::hypot(modes[m][0], modes[m][1]);
            const double value = plate.efficiency(gammas[g] * k_b)[static_cast<Index>(m)];
            CAPTURE(modes[m][0], modes[m][1], gammas[g], value, value / sigma[m][g] - 1);
            CHECK_THAT(value, WithinRel(sigma[m][g], averaging_error(modes[m], 40) + 1e-3));
        }
    }
}

TEST_CASE("radiation efficiency at fixed k", "[solver][radiation][reference]")
{
    // Reference: as above; ka = kb = 1 on a square, and kb = 1, ka = 2 on a 2:1 panel (m along the long side).
    // Tolerance: averaging_error, and 5e-4 (longer waves).
    const std::vector<std::array<int, 2>> modes{{1, 1}, {1, 2}, {2, 2}, {1, 3}, {3, 3}},
        oblong_modes{{1, 1}, {1, 2}, {2, 1}};
    const double square[] = {0.101323, 0.00211608, 2.6479e-5, 0.0106002, 0.00110732};
    const double oblong[] = {0.193418, 0.00411531, 0.0159626};
    const Eigen::VectorXd by_square = Plate(1, 1, 40, modes).efficiency(1);
    const Eigen::VectorXd by_oblong = Plate(2, 1, 40, oblong_modes).efficiency(1);
    for (Index i = 0; i < by_square.size(); ++i)
        CHECK_THAT(by_square[i], WithinRel(square[i], averaging_error(modes[i], 40) + 5e-4));
    for (Index i = 0; i < by_oblong.size(); ++i)
        CHECK_THAT(by_oblong[i], WithinRel(oblong[i], averaging_error(oblong_modes[i], 40) + 5e-4));
}

TEST_CASE("baffled panel: what it refuses", "[solver][radiation]")
{
    const auto box = test::box({1, 1, 1}, {1, 1, 1});
    const MatrixXcd v = MatrixXcd::Ones(6, 1);
    CHECK_THROWS_AS(solver::baffled_power(box, unit_gas, 1, v), DomainError);
    const auto piston = disc(2, 8);
    CHECK_THROWS_AS(solver::baffled_power(piston, unit_gas, 1, v), DomainError);
    const MatrixXcd fitting = MatrixXcd::Ones(piston.size(), 1);
    CHECK_THROWS_AS(solver::baffled_power(piston, unit_gas, 0, fitting), DomainError);
    CHECK_THROWS_AS(solver::baffled_pressure(piston, unit_gas, 1, fitting, Vector3d(0, 0, -1)), DomainError);
    CHECK_THROWS_AS(solver::radiation_efficiency(unit_gas, areas(piston), 0 * fitting, Eigen::VectorXd::Ones(1)),
                    DomainError);
}
