#pragma once
// Impedances of drivers in free air, closed and vented boxes by their lumped circuits, and what a measurement adds. All
// figures invented.

#include "solver/measured/sweep.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <vector>

namespace sweep_circuits {

using Complex = std::complex<double>;
inline constexpr double pi = std::numbers::pi, rho = 1.2041, c = 343.2;

struct Circuit
{
    double Re = 6, Le = 0.5e-3, n = 0.7; ///< [ohm], [H] at 1 kHz, exponent
    double Bl = 7.5, Mms = 20e-3, Cms = 0.8e-3, Rms = 1.2, Sd = 220e-4;
    double volume = 0;                         ///< [m³]; 0: free air
    double f_box = 0;                          ///< [Hz] tuning; 0: closed
    double Q_leak = 0, Q_port = 0, Q_fill = 0; ///< 0: lossless

    [[nodiscard]] double fs() const { return 1 / (2 * pi * std::sqrt(Mms * Cms)); }
    [[nodiscard]] double Qms() const { return 2 * pi * fs() * Mms / Rms; }
    [[nodiscard]] double Qes() const { return 2 * pi * fs() * Mms * Re / (Bl * Bl); }

    [[nodiscard]] Complex box(double f) const ///< acoustic impedance behind the cone
    {
        if (!(volume > 0)) return 0;
        const Complex s(0, 2 * pi * f);
        const double C = volume / (rho * c * c), w_b = 2 * pi * (f_box > 0 ? f_box : fs());
        Complex Y = s * C;
        if (Q_leak > 0) Y += w_b * C / Q_leak;
        if (f_box > 0) {
            const double M = 1 / (w_b * w_b * C);
            Y += 1.0 / (s * M + (Q_port > 0 ? w_b * M / Q_port : 0));
        }
        Complex Z = 1.0 / Y;
        if (Q_fill > 0) Z += 1 / (w_b * C * Q_fill); // in a row with the air's spring
        return Z;
    }
    [[nodiscard]] Complex coil(double f) const
    {
        const double w = 2 * pi * f, w_0 = 2 * pi * 1000;
        if (!(Le > 0)) return Re;
        return Re + Le * w_0 * std::pow(w / w_0, n) * std::exp(Complex(0, n * pi / 2)) / std::sin(n * pi / 2);
    }
    [[nodiscard]] Complex at(double f) const
    {
        const Complex s(0, 2 * pi * f);
        return coil(f) + Bl * Bl / (s * Mms + Rms + 1.0 / (s * Cms) + Sd * Sd * box(f));
    }
};

/// A small resonance in series with the rest.
struct Bump
{
    double f = 0, Q = 0;
    Complex A;

    [[nodiscard]] Complex at(double x) const { return A / (1.0 + Complex(0, Q) * (x / f - f / x)); }
};

inline std::vector<double> log_grid(double from, double to, int per_octave)
{
    std::vector<double> f;
    const int n = static_cast<int>(std::floor(std::log2(to / from) * per_octave));
    for (int i = 0; i <= n; ++i) f.push_back(from * std::exp2(static_cast<double>(i) / per_octave));
    return f;
}

inline stillwall::solver::Sweep swept(const Circuit& circuit, const std::vector<double>& f,
                                      const std::vector<Bump>& bumps = {})
{
    stillwall::solver::Sweep sweep{"made up", f, Eigen::VectorXcd(static_cast<Eigen::Index>(f.size())), true};
    for (std::size_t i = 0; i < f.size(); ++i) {
        Complex Z = circuit.at(f[i]);
        for (const Bump& bump : bumps) Z += bump.at(f[i]);
        sweep.Z[static_cast<Eigen::Index>(i)] = Z;
    }
    return sweep;
}

/// What a real measurement adds.
struct Disturbance
{
    double share = 1e-3;   ///< white noise, per component, of |Z|
    double floor = 2e-3;   ///< [ohm] white noise besides
    double warming = 3e-3; ///< of Re, over the sweep, as the coil warms: half of it even, half by chance steps
    int n_pickups = 2;     ///< single points near multiples of 50 Hz
    double pickup = 0.02;  ///< of |Z|, at most
};

inline void disturb(stillwall::solver::Sweep& sweep, const Disturbance& d, double Re, std::mt19937_64& random)
{
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> uniform(-1, 1);
    const Eigen::Index n = sweep.size();
    double walk = 0;
    for (Eigen::Index i = 0; i < n; ++i) {
        walk += normal(random) / std::sqrt(static_cast<double>(n));
        const double t = static_cast<double>(i) / static_cast<double>(n);
        const double sd = std::hypot(d.share * std::abs(sweep.Z[i]), d.floor);
        sweep.Z[i] += Re * d.warming * (0.5 * t + 0.5 * walk) + sd * Complex(normal(random), normal(random));
    }
    for (int k = 0; k < d.n_pickups; ++k) {
        const double f = 50 * std::floor(1 + 9.99 * std::abs(uniform(random)));
        const auto at = std::lower_bound(sweep.f_Hz.begin(), sweep.f_Hz.end(), f);
        if (at == sweep.f_Hz.end()) continue;
        Complex& Z = sweep.Z[at - sweep.f_Hz.begin()];
        Z += d.pickup * std::abs(Z) * std::polar(std::abs(uniform(random)), pi * uniform(random));
    }
}

/// |Z| alone.
inline void drop_phase(stillwall::solver::Sweep& sweep)
{
    sweep.Z = sweep.Z.cwiseAbs().cast<Complex>().eval();
    sweep.has_phase = false;
}

} // namespace sweep_circuits
