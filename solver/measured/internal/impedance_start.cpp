#include "mesh/cabinet/error.h"
#include "solver/measured/internal/impedance_fit.h"
#include "solver/measured/internal/impedance_terms.h"

#include <Eigen/Cholesky>

#include <algorithm>
#include <optional>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Some points, evenly spread over ln f.
Sweep thinned(const Sweep& sweep, int most)
{
    Sweep some{sweep.name, {}, {}, sweep.has_phase};
    const double step = std::log(sweep.f_Hz.back() / sweep.f_Hz.front()) / most;
    std::vector<std::complex<double>> Z;
    for (std::size_t i = 0; i < sweep.f_Hz.size(); ++i) {
        if (!some.f_Hz.empty() && std::log(sweep.f_Hz[i] / some.f_Hz.back()) < step) continue;
        some.f_Hz.push_back(sweep.f_Hz[i]);
        Z.push_back(sweep.Z[static_cast<Index>(i)]);
    }
    some.Z = Eigen::Map<const Eigen::VectorXcd>(Z.data(), static_cast<Index>(Z.size()));
    return some;
}

/// Gives magnitudes the phase that belongs to them when the impedance is minimum-phase (it is: a passive one-port):
///     φ(u₀) = (1/π) ∫ (d ln|Z|/du) ln coth |(u − u₀)/2| du,   u = ln f
/// cut at the ends of the sweep: good enough for a start.
/// @source H. W. Bode, Network Analysis and Feedback Amplifier Design (1945), ch. 14
void add_phase(Sweep& sweep)
{
    const Index n = sweep.size();
    Eigen::VectorXcd Z = sweep.Z;
    for (Index i = 0; i < n; ++i) {
        double phase = 0;
        for (Index k = 0; k + 1 < n; ++k) {
            const auto at = static_cast<std::size_t>(k);
            const double middle = 0.5 * std::log(sweep.f_Hz[at] * sweep.f_Hz[at + 1]);
            const double u = std::abs(middle - std::log(sweep.f_Hz[static_cast<std::size_t>(i)]));
            phase += std::log(std::abs(sweep.Z[k + 1]) / std::abs(sweep.Z[k])) *
                     std::log(1 / std::tanh(std::max(u, 1e-3) / 2)) / std::numbers::pi;
        }
        Z[i] = std::polar(std::abs(sweep.Z[i]), phase);
    }
    sweep.Z = Z;
    sweep.has_phase = true;
}

/// Linear least squares of Re, Le, a (and b with two humps) at given f_k, Q_k; relative residuals.
struct LinearFit
{
    ImpedanceModel model;
    double squares = 0;
};

LinearFit linear_fit(const Sweep& sweep, const std::vector<Hump>& humps)
{
    constexpr double exponent = 0.7; // half way
    const bool with_b = humps.size() > 1;
    const Index n = sweep.size(), n_columns = 2 + (with_b ? 2 : 1) * static_cast<Index>(humps.size());
    Eigen::MatrixXcd A(n, n_columns);
    Eigen::VectorXcd b(n);
    for (Index i = 0; i < n; ++i) {
        const double f = sweep.f_Hz[static_cast<std::size_t>(i)], weight = 1 / std::abs(sweep.Z[i]);
        A(i, 0) = weight;
        A(i, 1) = weight * 1e-3 * lossy_coil(f, exponent);
        Index at = 2;
        for (Hump h : humps) {
            h.ohm = 1;
            const auto slopes = hump_slopes(h, f);
            A(i, at++) = weight * slopes[2];
            if (with_b) A(i, at++) = weight * slopes[3];
        }
        b[i] = weight * sweep.Z[i];
    }
    MatrixXd stacked(2 * n, n_columns);
    stacked << A.real(), A.imag();
    VectorXd right(2 * n);
    right << b.real(), b.imag();
    const VectorXd x = (stacked.transpose() * stacked).ldlt().solve(stacked.transpose() * right);
    LinearFit fit{{x[0], x[1] * 1e-3, exponent, humps, {}}, (stacked * x - right).squaredNorm()};
    Index at = 2;
    for (Hump& h : fit.model.humps) {
        const double a = x[at++];
        h.ohm = {a, with_b ? x[at++] : 0};
    }
    return fit;
}

bool is_possible(const ImpedanceModel& m)
{
    return m.Re > 0 && std::all_of(m.humps.begin(), m.humps.end(), [&](const Hump& h) {
               return h.ohm.real() > 0.05 * m.Re; // a driver's own hump stands out
           });
}

} // namespace

ImpedanceModel scanned_start(const Sweep& sweep, int n_humps)
{
    Sweep some = thinned(sweep, 160);
    if (!some.has_phase) add_phase(some);
    const double from = sweep.f_Hz.front() * 1.1, to = sweep.f_Hz.back() / 1.5;
    std::optional<LinearFit> best;
    const auto consider = [&](const std::vector<Hump>& humps) {
        const LinearFit fit = linear_fit(some, humps);
        if (is_possible(fit.model) && (!best || fit.squares < best->squares)) best = fit;
    };
    const int n_steps = n_humps == 1 ? 60 : 36;
    const auto f_of = [&](int i) { return from * std::pow(to / from, double(i) / n_steps); };
    for (int i = 0; i <= n_steps; ++i) {
        if (n_humps == 1) {
            for (const double Q : {1.0, 2.0, 4.0, 8.0, 16.0}) consider({{f_of(i), Q, 0}});
            continue;
        }
        for (int k = i + 2; k <= n_steps && f_of(k) < 12 * f_of(i); ++k)
            for (const double Q1 : {2.0, 6.0})
                for (const double Q2 : {2.0, 6.0}) consider({{f_of(i), Q1, 0}, {f_of(k), Q2, 0}});
    }
    if (!best)
        throw DomainError(
            n_humps == 1 ? "no resonance of a driver in this sweep: it must reach from below its hump to well above"
                         : "the two humps of a vented box do not show in this sweep");
    return best->model;
}

} // namespace stillwall::solver::internal
